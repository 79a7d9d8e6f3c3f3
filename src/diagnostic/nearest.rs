//! The nearest known name to a mistyped one.

/// The candidate that `typed` most likely meant, or `None` if none is near.
///
/// Near means: at most a third of its characters wrong (swapped neighbours count once), letters compared
/// without case. Ties go to the name that sorts first, so the answer never depends on the order of candidates.
pub fn nearest<'a>(typed: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let typed = typed.to_lowercase();
    let allowed = (typed.chars().count().div_ceil(3)).min(4);
    candidates
        .into_iter()
        .map(|name| {
            let distance = strsim::damerau_levenshtein(&typed, &name.to_lowercase());
            (distance, name)
        })
        .filter(|(distance, _)| *distance <= allowed)
        .min()
        .map(|(_, name)| name)
}

#[cfg(test)]
mod tests {
    use super::nearest;

    #[test]
    fn finds_the_likely_name() {
        let names = ["torques", "tools", "title", "time"];
        assert_eq!(nearest("torqes", names), Some("torques"));
        assert_eq!(nearest("TILTE", names), Some("title"));
        assert_eq!(nearest("zebra", names), None);
    }

    #[test]
    fn ties_go_to_the_first_in_order() {
        assert_eq!(nearest("dc-20", ["dc-203", "dc-201"]), Some("dc-201"));
        assert_eq!(nearest("dc-20", ["dc-201", "dc-203"]), Some("dc-201"));
    }
}
