//! Rows ST-01 to ST-38, ST-60 to ST-63, ST-73 and ST-123 to ST-126. Sources: the trials named in `tests/data/ORIGIN.md`; values
//! computed independently with scipy 1.17.1, statsmodels 0.15.0 and R 4.2.2, and Bliss & Fisher 1953 as printed (ST-30, memory).

use crate::close;
use crate::data::{counts_by, counts_from_frequencies};
use groundlore_plant_health::counts::{negative_binomial_ln_pmf, occupancy, samples_for_precision, samples_to_find_one, summary};

/// Apple mites, Bliss & Fisher 1953: leaves with 0 to 7.
const MITES: [usize; 8] = [70, 38, 17, 10, 9, 3, 2, 1];

fn mites() -> Vec<u64> {
    MITES.iter().enumerate().flat_map(|(x, &f)| vec![x as u64; f]).collect()
}

struct Row {
    id: &'static str,
    counts: Vec<u64>,
    total: u64,
    variance: f64,
    k_moment: Option<f64>,
    k_ml: Option<f64>,
    k_se: Option<f64>,
    log_likelihood: Option<f64>,
    k_zeros: Option<f64>,
    ratio: f64,
    morisita: f64,
    lloyd: f64,
    green: f64,
}

#[allow(clippy::too_many_arguments)]
fn row(
    id: &'static str,
    counts: Vec<u64>,
    total: u64,
    variance: f64,
    k: [Option<f64>; 5],
    [ratio, morisita, lloyd, green]: [f64; 4],
) -> Row {
    let [k_moment, k_ml, k_se, log_likelihood, k_zeros] = k;
    Row { id, counts, total, variance, k_moment, k_ml, k_se, log_likelihood, k_zeros, ratio, morisita, lloyd, green }
}

fn rows() -> Vec<Row> {
    let borers = |t| counts_from_frequencies("borer_frequencies.csv", t);
    let worms = |t| counts_from_frequencies("webworm_frequencies.csv", t);
    let sprays = |t| counts_by("spray_counts.csv", 0, t, 1);
    let cysts = |column| counts_by("eelworm_cysts.csv", usize::MAX, "", column);
    let s = Some;
    vec![
        row(
            "ST-01",
            mites(),
            172,
            2.27364653,
            [s(1.1666974), s(1.0245924), s(0.275907), s(-222.437154), s(0.99230609)],
            [1.9828313, 1.8563851, 2.1294979, 0.00574755],
        ),
        row(
            "ST-02",
            borers("T1"),
            484,
            16.4526611,
            [s(1.3098759), s(1.5028892), s(0.285802), s(-298.752665), s(1.3121909)],
            [4.0791722, 1.7586366, 7.1125055, 0.0063751],
        ),
        row(
            "ST-04",
            borers("T3"),
            178,
            3.1929972,
            [s(1.2869651), s(1.3331309), s(0.373342), s(-200.304864), s(1.473658)],
            [2.1525824, 1.7749, 2.6359157, 0.00651176],
        ),
        row(
            "ST-05",
            borers("T4"),
            181,
            3.63018207,
            [s(1.0722109), s(1.1535215), s(0.311152), s(-202.26788), s(1.0575062)],
            [2.4067505, 1.9300184, 2.9150839, 0.00781528],
        ),
        row(
            "ST-06",
            worms("T1"),
            455,
            2.32716049,
            [s(2.1139814), s(1.9113094), s(0.413454), s(-524.002358), s(1.7022525)],
            [1.6622575, 1.4726243, 2.0622575, 0.00145872],
        ),
        row(
            "ST-07",
            worms("T2"),
            164,
            0.584083571,
            [s(3.2042594), s(3.0220685), s(1.92429), s(-308.75754), s(2.5753719)],
            [1.1574827, 1.3130331, 0.66209807, 0.000966151],
        ),
        row(
            "ST-09",
            worms("T4"),
            134,
            0.520835708,
            [s(1.566394), s(1.4234079), s(0.632143), s(-276.795725), s(1.3220489)],
            [1.2632209, 1.6412299, 0.67552862, 0.0019791],
        ),
        row(
            "ST-10",
            sprays("A"),
            174,
            22.2727273,
            [s(27.049708), s(35.242551), s(49.7412), s(-34.9321555), None],
            [1.5360502, 1.0340841, 15.03605, 0.00309856],
        ),
        row(
            "ST-11",
            sprays("B"),
            184,
            18.2424242,
            [s(80.819444), s(148.81686), s(691.182), s(-34.2087751), None],
            [1.1897233, 1.0114041, 15.523057, 0.00103674],
        ),
        row(
            "ST-12",
            sprays("C"),
            25,
            3.90151515,
            [s(2.3871528), s(3.1770347), s(3.39765), s(-22.4085456), s(6.0876222)],
            [1.8727273, 1.4, 2.9560606, 0.0363636],
        ),
        row("ST-14", sprays("E"), 42, 3.0, [None; 5], [0.85714286, 0.96167247, 3.3571429, -0.00348432]),
        row(
            "ST-15",
            sprays("F"),
            200,
            38.6060606,
            [s(12.661142), s(15.222529), s(11.8087), s(-37.9148612), None],
            [2.3163636, 1.0727638, 17.98303, 0.00661489],
        ),
        row(
            "ST-16",
            cysts(2),
            6166,
            6599.31738,
            [s(2.5501318), s(1.9421502), s(0.376955), s(-276.260231), None],
            [51.373213, 1.3840294, 178.83155, 0.00817084],
        ),
        row(
            "ST-17",
            cysts(3),
            14680,
            21097.1206,
            [s(4.4987127), s(3.7713024), s(0.752145), s(-306.76644), None],
            [68.982411, 1.2176697, 373.81574, 0.00463127],
        ),
    ]
}

fn same(id: &str, what: &str, seen: Option<f64>, expected: Option<f64>, tolerance: f64) {
    match (seen, expected) {
        (None, None) => {}
        (Some(seen), Some(expected)) => {
            assert!(((seen - expected) / expected).abs() < tolerance, "{id} {what}: {seen}, expected {expected}");
        }
        _ => panic!("{id} {what}: {seen:?}, expected {expected:?}"),
    }
}

#[test]
fn counts_are_summed_up_as_published() {
    for row in rows() {
        let s = summary(&row.counts).unwrap();
        assert_eq!(s.total, row.total, "{}", row.id);
        same(row.id, "variance", s.variance, Some(row.variance), 1e-6);
        same(row.id, "k by moments", s.k_moment, row.k_moment, 1e-6);
        same(row.id, "k by likelihood", s.k_ml, row.k_ml, 1e-5);
        same(row.id, "error of k", s.k_ml_se, row.k_se, 2e-5);
        same(row.id, "log-likelihood", s.log_likelihood, row.log_likelihood, 1e-6);
        same(row.id, "k from zeros", s.k_zeros, row.k_zeros, 1e-6);
        same(row.id, "variance to mean", s.variance_to_mean, Some(row.ratio), 1e-6);
        same(row.id, "Morisita", s.morisita, Some(row.morisita), 1e-6);
        same(row.id, "Lloyd", s.lloyd, Some(row.lloyd), 1e-6);
        same(row.id, "Green", s.green, Some(row.green), 3e-6);
    }
}

#[test]
fn mites_on_apple_leaves_fit_as_expected_frequencies_say() {
    // ST-33, scipy.stats.nbinom; ST-38 with k without end, scipy.stats.poisson.
    let k = summary(&mites()).unwrap().k_ml.unwrap();
    let mean = 172.0 / 150.0;
    let expected = [69.48798, 37.59987, 20.10108, 10.70263, 5.68693, 3.01811, 1.60043, 0.84817];
    for (x, expected) in expected.into_iter().enumerate() {
        close("ST-33", 150.0 * negative_binomial_ln_pmf(x as u64, mean, k).exp(), expected, 1e-4);
    }
    for (x, expected) in [47.654, 54.643, 31.329, 11.975].into_iter().enumerate() {
        close("ST-38", 150.0 * negative_binomial_ln_pmf(x as u64, mean, f64::INFINITY).exp(), expected, 1e-3);
    }
}

#[test]
fn sample_sizes_match_the_rows() {
    for (id, mean, k, precision, expected) in
        [("ST-60", 1.4, 1.911309, 0.25, 19.79979764), ("ST-61", 0.5, 1.0, 0.25, 48.0), ("ST-62", 5.0, 1.5936, 0.25, 13.24016064)]
    {
        close(id, samples_for_precision(mean, k, precision).unwrap(), expected, 1e-5);
    }
    for (prevalence, whole) in [(0.01, 299.0), (0.02, 149.0), (0.05, 59.0), (0.10, 29.0)] {
        assert_eq!(samples_to_find_one(prevalence, 0.95).unwrap().ceil(), whole, "ST-73");
    }
    close("ST-74", samples_to_find_one(occupancy(0.1, 0.5), 0.95).unwrap(), 32.8621, 1e-4);
    close("ST-74", samples_to_find_one(occupancy(0.1, 1.0), 0.95).unwrap(), 31.4314, 1e-4);
}

#[test]
fn occupied_samples_follow_the_negative_binomial() {
    let means = [0.25, 0.5, 1.0, 2.0, 5.0, 10.0];
    for (id, k, expected) in [
        ("ST-123", 0.5, [0.183503, 0.292893, 0.422650, 0.552786, 0.698489, 0.781782]),
        ("ST-124", 1.0, [0.2, 0.333333, 0.5, 0.666667, 0.833333, 0.909091]),
    ] {
        for (mean, expected) in means.into_iter().zip(expected) {
            close(id, occupancy(mean, k), expected, 2e-6);
        }
    }
    // ST-126: P(X > T) at mean 2, k 1.5936.
    for (t, expected) in [(0, 0.7263348), (1, 0.4836185), (2, 0.3084434), (4, 0.1170195)] {
        let below: f64 = (0..=t).map(|x| negative_binomial_ln_pmf(x, 2.0, 1.5936).exp()).sum();
        close("ST-126", 1.0 - below, expected, 2e-6);
    }
}
