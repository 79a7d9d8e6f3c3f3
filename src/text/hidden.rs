//! Characters that are not seen but change what is read or found.

/// What is wrong with a character that must not stand in a text; `None` for every other. Marks that scripts need between
/// their letters (joiners, the marks of a direction without an end, soft hyphens) may stand.
pub fn hidden(c: char) -> Option<&'static str> {
    match c {
        '\t' | '\n' | '\r' => None,
        '\u{202A}'..='\u{202E}' | '\u{2066}'..='\u{2069}' => Some("turns the direction of reading"),
        '\u{180E}' | '\u{200B}' | '\u{2060}'..='\u{2064}' | '\u{FEFF}' => Some("takes no room"),
        '\u{2028}' | '\u{2029}' => Some("ends a line in some programs and not in others"),
        '\u{206A}'..='\u{206F}' | '\u{FFF9}'..='\u{FFFB}' | '\u{E0000}'..='\u{E007F}' => {
            Some("tells a program something that no reader sees")
        }
        other if other.is_control() => Some("is a control of a machine"),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::hidden;

    #[test]
    fn what_scripts_need_may_stand() {
        let fine = "180 N·m ± 10, a\u{A0}b, co\u{AD}op, \u{645}\u{200C}\u{6CC}, \u{200E}x\u{200F}, \u{1F468}\u{200D}\u{1F527}\r\n\t";
        assert_eq!(fine.chars().find(|c| hidden(*c).is_some()), None);
        for c in [
            '\0',
            '\u{1B}',
            '\u{7F}',
            '\u{85}',
            '\u{200B}',
            '\u{202E}',
            '\u{2066}',
            '\u{FEFF}',
            '\u{E0041}',
        ] {
            assert!(hidden(c).is_some(), "{c:?}");
        }
    }
}
