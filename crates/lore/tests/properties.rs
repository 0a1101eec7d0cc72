//! Whatever stands in a file: no panic, what is good stays, and each fault names the file and a line that it has.

use groundlore_lore::{Lore, check};
use proptest::prelude::*;

const NORM: &str = include_str!("../../../lore/work_norms/spread-mulch.toml");

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(40) })]

    #[test]
    fn any_change_to_a_good_file_is_read_or_told(at in 0..NORM.len(), put in "\\PC{0,6}", cut in 0usize..12) {
        let mut text: Vec<char> = NORM.chars().collect();
        let at = at.min(text.len());
        let end = (at + cut).min(text.len());
        text.splice(at..end, put.chars());
        let text: String = text.into_iter().collect();
        let dir = tempfile::tempdir().unwrap();
        std::fs::create_dir(dir.path().join("work_norms")).unwrap();
        let file = dir.path().join("work_norms/spread-mulch.toml");
        std::fs::write(&file, &text).unwrap();
        let (lore, mut faults) = Lore::load_lenient(dir.path(), None);
        prop_assert!(!faults.is_empty() || lore.work_norms.len() == 1);
        faults.extend(check(&lore));
        for fault in faults {
            prop_assert_eq!(&fault.file, &file.display().to_string());
            prop_assert!(fault.line.is_none_or(|line| line >= 1 && line <= text.lines().count() + 1), "{}", fault);
            prop_assert!(!fault.remedy.is_empty() && !fault.wrong.is_empty());
        }
    }
}
