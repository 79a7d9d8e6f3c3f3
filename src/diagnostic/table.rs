//! How a table of rules is written.

/// A table of rules, one a line: `SLIPPED_UNIT "slipped-unit" Error Proof "why it matters";`. Makes a constant of each and
/// `RULES` of all, and a test that they are sorted, each once.
macro_rules! rule_table {
    ($($constant:ident $name:literal $level:ident $stage:ident $why:literal;)*) => {
        $(
            #[doc = $why]
            pub static $constant: $crate::diagnostic::Rule = $crate::diagnostic::Rule {
                name: $name,
                level: $crate::diagnostic::Level::$level,
                stage: $crate::diagnostic::Stage::$stage,
                why: $why,
            };
        )*

        /// Every rule, sorted by name.
        pub static RULES: &[&$crate::diagnostic::Rule] = &[$(&$constant),*];

        #[cfg(test)]
        mod tests {
            #[test]
            fn the_table_is_sorted_and_its_names_are_unique() {
                let names: Vec<&str> = super::RULES.iter().map(|rule| rule.name).collect();
                assert!(names.is_sorted_by(|one, next| one < next), "{names:?}");
            }
        }
    };
}

pub(crate) use rule_table;
