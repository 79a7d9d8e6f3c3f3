//! The nearest known name to a mistyped one.

/// The candidate that `typed` most likely meant, or `None` if none is near, or if several are equally near: a guess
/// among part numbers that differ by one digit would be worse than none.
///
/// Near means: at most a third of its characters wrong (swapped neighbours count once), letters compared without case.
pub fn nearest<'a>(typed: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    // A text that is longer than any name by more than what may be wrong in it is none of them, and would take for ever.
    let typed = typed.to_lowercase();
    let length = typed.chars().count();
    let allowed = length.div_ceil(3).min(4);
    let mut best: Option<(usize, &str)> = None;
    let mut tied = false;
    let near = |name: &&str| name.chars().count().abs_diff(length) <= allowed;
    for name in candidates.into_iter().filter(near) {
        let distance = strsim::damerau_levenshtein(&typed, &name.to_lowercase());
        match best {
            _ if distance > allowed => {}
            Some((least, _)) if distance > least => {}
            Some((least, other)) if distance == least => tied |= other != name,
            _ => {
                best = Some((distance, name));
                tied = false;
            }
        }
    }
    best.filter(|_| !tied).map(|(_, name)| name)
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
    fn no_guess_is_made_among_equally_near_names() {
        assert_eq!(nearest("dc-20", ["dc-203", "dc-201"]), None);
        assert_eq!(nearest("dc-2o3", ["dc-203", "dc-2034"]), Some("dc-203"));
        assert_eq!(nearest("dc-20", ["dc-203", "dc-203"]), Some("dc-203"));
    }
}
