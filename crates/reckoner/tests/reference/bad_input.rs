//! Wrong questions: the error says which input, what was expected, and an example.
use crate::ask;
use groundlore_reckoner::reckon;

const WRONG: &[(&str, &str, &[&str])] = &[
    ("spacin", "", &["no calculator `spacin`", "spacing"]),
    ("spacing", "area=120 ft2", &["`spacing` is missing", "a length", "spacing=12 in"]),
    ("spacing", "area=120 ft2|spacing=12", &["`spacing`", "no unit", "12 in"]),
    ("spacing", "area=120 ft|spacing=12 in", &["`area`", "a length", "an area"]),
    ("spacing", "spacing=12 in|size=3", &["no input `size`", "area, spacing, pattern"]),
    ("spacing", "spacing=12 in|spacing=3 in", &["given twice"]),
    ("spacing", "spacing=-12 in", &["above 0"]),
    ("spacing", "spacing=12 in|pattern=hexagon", &["hexagon", "square, triangular"]),
    ("fertiliser", "nutrient-rate=1 lb/1000ft2|analysis=28-3", &["28-3", "28-3-6"]),
    ("fertiliser", "nutrient-rate=1 lb/1000ft2|analysis=0-0-50", &["holds no N"]),
    ("fertiliser", "nutrient-rate=1 lb/1000ft2|analysis=90-20-10", &["no fertiliser analysis"]),
    ("mix", "rate=1 qt/acre|tank=3 gal", &["`volume-rate` is missing", "40 gal/acre"]),
    ("mix", "rate=120%|tank=3 gal", &["not between 0 and 100"]),
    ("degree-days", "method=double-sine|minimum=45 degF|maximum=95 degF|lower=50 degF", &["`next-minimum` is missing"]),
    ("degree-days", "method=single-sine|minimum=95 degF|maximum=45 degF|lower=50 degF", &["the minimum (95 degF) is above the maximum"]),
    ("degree-days", "method=single-sine|minimum=45 degF|maximum=95 degF|lower=50 degF|cutoff=horizontal", &["`upper` is missing"]),
    ("degree-days", "method=single-sine|minimum=45 degF|maximum=95 degF|lower=50 degF|upper=88 degF", &["`cutoff` is missing"]),
    ("stop-line", "distribution=negative-binomial|low=5|high=10|alpha=0.1|beta=0.1", &["`k` is missing"]),
    ("stop-line", "distribution=poisson|low=10|high=5|alpha=0.1|beta=0.1", &["high above low"]),
    ("efficacy", "method=abbott|check-after=0|treated-after=3", &["no efficacy"]),
    ("count-summary", "counts=3 0 2.5", &["`counts`", "whole number"]),
    ("markup", "cost=$100", &["`markup` is missing"]),
    ("markup", "cost=$100|margin=100%", &["below 1"]),
    ("edging-block", "length=10 ft|block-length=12 in|block-height=4 in|show=5 in", &["show"]),
    ("mow-rate", "width=60 in|speed=4 mph|overlap=70 in", &["overlap"]),
    ("convert", "value=12 ft|to=lb", &["`to`", "same kind"]),
];

#[test]
fn wrong_questions_say_what_would_be_right() {
    for (key, inputs, wanted) in WRONG {
        let error = reckon(&ask(key, inputs)).expect_err(inputs).to_string();
        for part in *wanted {
            assert!(error.contains(part), "{key} {inputs}: `{error}` lacks `{part}`");
        }
    }
}
