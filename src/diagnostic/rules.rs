//! The table of problems that reading and proving a library can find: name, level, and why it matters.
//!
//! Sorted by name; a test holds it to that, and another wants a case for each under `tests/errors`.

use super::report::{Level, Rule};

macro_rules! rules {
    ($($constant:ident $name:literal $level:ident $why:literal;)*) => {
        $(
            #[doc = $why]
            pub static $constant: Rule = Rule { name: $name, level: Level::$level, why: $why };
        )*

        /// Every rule, sorted by name.
        pub static RULES: &[&Rule] = &[$(&$constant),*];
    };
}

rules! {
    BAD_ID "bad-id" Error "an id becomes an address, and people type part numbers: odd characters would break both";
    BAD_QUANTITY "bad-quantity" Error "a figure that cannot be read cannot be converted, compared or checked";
    BAD_SERIAL "bad-serial" Error "a reader's machine is told apart by its serial, so serials must be comparable";
    BAD_TIME "bad-time" Error "a reader who touches the time must land at that moment of the recording";
    BROKEN_CHAIN "broken-chain" Error "a reader who follows a replaced part must arrive at one that can be fitted";
    BROKEN_REFERENCE "broken-reference" Error "the sheet would print the raw letters, and the figure or part would be missing from its step";
    CALCULATOR_UNKNOWN_NAME "calculator-unknown-name" Error "a formula that names nothing cannot be worked out";
    CASE_FAILS "case-fails" Error "a calculator that misses its published results cannot be trusted with anyone's measurements";
    COMMA_POINT "comma-point" Warning "a reader who takes the comma the other way is out by a thousand times";
    DEAD_ANCHOR "dead-anchor" Error "the reader would land at the top of the page and look for the place in vain";
    DEAD_LINK "dead-link" Error "the link would lead nowhere";
    DUPLICATE_FIELD "duplicate-field" Error "one of the two values would be lost without a word";
    DUPLICATE_ID "duplicate-id" Error "a reference could mean either, and readers do not tell case or width apart";
    EMPTY_LINK "empty-link" Error "a link without words cannot be seen or touched";
    FALSE_FINE "false-fine" Hint "places that nobody measured make a rounded value look exact";
    FORBIDDEN_LINK "forbidden-link" Error "pages may only lead to the web by http or https, or to a letter by mailto";
    FORMULA_DIMENSION "formula-dimension" Error "a sum of unlike quantities, or a result in the wrong unit, is a wrong formula";
    FORMULA_SYNTAX "formula-syntax" Error "a formula that cannot be read cannot be worked out";
    HULL_GAP "hull-gap" Error "the owner of a machine between two ranges, or in both, gets no answer or two";
    INPUT_RANGE "input-range" Error "a value outside what is meant gives an answer that no one should work to";
    LET_OUT "let-out" Warning "whoever works to the second unit passes work that the first refuses";
    MISSING_FIELD "missing-field" Error "the reader would not get what the sheet must say";
    MISSING_PICTURE "missing-picture" Error "the reader would see an empty frame instead of the picture";
    MIXED_MEASURE "mixed-measure" Error "a figure in the wrong kind of unit cannot be worked to, and guessing what was meant can hurt";
    NO_CASES "no-cases" Warning "a formula nobody has held against a published result may be wrong";
    NO_FRONT_MATTER "no-front-matter" Error "without front matter a page has no number, title or figures";
    NO_PICTURE_WORDS "no-picture-words" Error "whoever cannot see the picture, or prints it badly, loses what it shows";
    NO_STEPS "no-steps" Error "a job without steps cannot be followed";
    NOMINAL_SWAP "nominal-swap" Error "parts of inch and millimetre sizes do not go together although the rounding looks honest";
    NOT_TEXT "not-text" Error "characters that cannot be read may hide a figure";
    ODD_ROWS "odd-rows" Error "only the items of one numbered list become rows with a tick box and a margin";
    OUTSIDE_LIBRARY "outside-library" Error "nothing outside the library's folder is read or published";
    RAW_HTML "raw-html" Warning "markup that could run, restyle or load something is taken out of pages";
    RISE_OR_READING "rise-or-reading" Error "the 32 °F belong to a temperature, not to a rise: the part would be far too hot or too cold";
    SHADOWED_CALCULATOR "shadowed-calculator" Error "two calculators of one name would give two answers to one question";
    SLIPPED_UNIT "slipped-unit" Error "the page says two things, and the reader works to whichever unit is on the tool";
    STEP_SKIPS "step-skips" Error "a notice must stand at the step it guards";
    TOO_LARGE "too-large" Error "a file of this size cannot be a page, a register or a picture for a phone";
    TURNED_OVER "turned-over" Error "the page says two things, and one of them can break the part";
    UNKNOWN_FIELD "unknown-field" Error "what the field says would be left out of the page";
    UNKNOWN_REFERENCE "unknown-reference" Error "the reader would be sent to something that does not exist";
    UNKNOWN_SCHEME "unknown-scheme" Error "the link would lead nowhere";
    UNKNOWN_WORD "unknown-word" Error "the word decides how the entry is shown and checked";
    UNREAD_FILE "unread-file" Warning "nothing reads this file, so what it says is not published";
    UNSAFE_PICTURE "unsafe-picture" Error "a drawing is content: it may not run code or fetch anything";
    UNSHOWN_FIGURE "unshown-figure" Warning "whoever follows the rows never meets the figure where it is needed";
    UNUSED_INPUT "unused-input" Warning "the reader would measure something that changes nothing";
    UNUSED_MEDIA "unused-media" Hint "a file that no page shows is not published";
    VAGUE_TENTH "vague-tenth" Warning "two readers take the same word for two measures";
    WORKED_CALCULATOR "worked-calculator" Error "without a calculator of that name nothing is worked out";
    WORKED_DOUBTFUL "worked-doubtful" Warning "the page works out something that its own calculator cautions against";
    WORKED_INPUT "worked-input" Error "what is given under a name that the calculator does not know would be left out of the sum";
    WORKED_MISPLACED "worked-misplaced" Error "a calculation inside a row would push the next step out of sight";
    WORKED_MISSING "worked-missing" Error "nothing can be worked out until every measurement is given";
    WORKED_NO_VALUE "worked-no-value" Error "a sum needs one value, and this refers to none";
    WORKED_ORDER "worked-order" Error "a reader works down the page, so a result can only be carried on from above";
    WORKED_REFUSED "worked-refused" Error "the page would show a calculation without an answer";
    WORKED_REMARK "worked-remark" Hint "the calculator has a remark to make on what the page works out";
    WORKED_UNSAFE "worked-unsafe" Error "whoever works to this page could be hurt: its own calculator warns of it";
    WORKED_VALUE "worked-value" Error "a value that cannot be read, or of the wrong kind, would spoil the sum";
    WRONG_CASE "wrong-case" Warning "in units, letter case tells a thousandth from a thousand";
    WRONG_FOLDER "wrong-folder" Error "the folder says what kind of page it holds, and other pages rely on it";
    WRONG_KIND "wrong-kind" Error "a figure in the wrong kind of unit is a slip that can spoil a machine";
    WRONG_TYPE "wrong-type" Error "a value of the wrong shape cannot be used";
    YAML_SYNTAX "yaml-syntax" Error "nothing of this text can be used until it can be read";
}

#[cfg(test)]
mod tests {
    use super::RULES;

    #[test]
    fn the_table_is_sorted_and_its_names_are_unique() {
        let names: Vec<&str> = RULES.iter().map(|rule| rule.name).collect();
        let mut sorted = names.clone();
        sorted.sort_unstable();
        sorted.dedup();
        assert_eq!(names, sorted);
    }
}
