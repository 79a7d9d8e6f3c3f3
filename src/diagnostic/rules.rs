//! The table of problems that reading a library can find: name, level, and why it matters. Those of proof have a table
//! of their own.
//!
//! Sorted by name; a test holds it to that, and another wants a case for each under `tests/errors`.

use super::rule_table;

rule_table! {
    ACCEPTED_DATES "accepted-dates" Error Reading "a finding is let stand from the day somebody looked to the day to look again";
    ACCEPTED_READING "accepted-reading" Error Reading "what keeps a page from being read or published cannot be let stand";
    ACCEPTED_SEVERAL "accepted-several" Error Reading "one reason stands for one place that somebody has looked at";
    BAD_ADDRESS "bad-address" Error Reading "the code square of a printed sheet must lead whoever scans it to the library, and tell nobody more than that";
    BAD_ID "bad-id" Error Reading "an id becomes an address, and people type part numbers: odd characters would break both";
    BAD_QUANTITY "bad-quantity" Error Reading "a figure that cannot be read cannot be converted, compared or checked";
    BAD_SERIAL "bad-serial" Error Reading "a reader's machine is told apart by its serial, so serials must be comparable";
    BAD_TIME "bad-time" Error Reading "a reader who touches the time must land at that moment of the recording";
    BROKEN_CHAIN "broken-chain" Error Reading "a reader who follows a replaced part must arrive at one that can be fitted";
    BROKEN_CUE "broken-cue" Warning Reading "what is said there would be missing beside the film, and could not be found";
    BROKEN_PICTURE "broken-picture" Error Reading "the reader would see half a picture, or none";
    BROKEN_REFERENCE "broken-reference" Error Reading "the sheet would print the raw letters, and the figure or part would be missing from its step";
    CALCULATOR_UNKNOWN_NAME "calculator-unknown-name" Error Reading "a formula that names nothing cannot be worked out";
    CASE_FAILS "case-fails" Error Reading "a calculator that misses its published results cannot be trusted with anyone's measurements";
    DEAD_ANCHOR "dead-anchor" Error Reading "the reader would land at the top of the page and look for the place in vain";
    DEAD_LINK "dead-link" Error Reading "the link would lead nowhere";
    DUPLICATE_FIELD "duplicate-field" Error Reading "one of the two values would be lost without a word";
    DUPLICATE_ID "duplicate-id" Error Reading "a reference could mean either, and readers do not tell case or width apart";
    EMPTY_LINK "empty-link" Error Reading "a link without words cannot be seen or touched";
    FORBIDDEN_LINK "forbidden-link" Error Reading "pages may only lead to the web by http or https, or to a letter by mailto";
    FORMULA_DIMENSION "formula-dimension" Error Reading "a sum of unlike quantities, or a result in the wrong unit, is a wrong formula";
    FORMULA_SYNTAX "formula-syntax" Error Reading "a formula that cannot be read cannot be worked out";
    HIDDEN_CHARACTER "hidden-character" Error Reading "what cannot be seen can turn a figure round, hide words, or keep a number from being found";
    HULL_GAP "hull-gap" Error Reading "the owner of a machine between two ranges, or in both, gets no answer or two";
    IDLE_ACCEPTANCE "idle-acceptance" Warning Reading "an acceptance without its finding may later cover one that nobody has looked at";
    INPUT_RANGE "input-range" Error Reading "a value outside what is meant gives an answer that no one should work to";
    MISSING_FIELD "missing-field" Error Reading "the reader would not get what the sheet must say";
    MISSING_PICTURE "missing-picture" Error Reading "the reader would see an empty frame instead of the picture";
    NO_CASES "no-cases" Warning Reading "a formula nobody has held against a published result may be wrong";
    NO_CUES "no-cues" Error Reading "without cues nobody can read or search what the film says";
    NO_FRONT_MATTER "no-front-matter" Error Reading "without front matter a page has no number, title or figures";
    NO_STEPS "no-steps" Error Reading "a job without steps cannot be followed";
    NO_SUCH_STEP "no-such-step" Error Reading "a notice must stand at the step it guards";
    NOT_TEXT "not-text" Error Reading "characters that cannot be read may hide a figure";
    ODD_CUE "odd-cue" Hint Reading "a player that keeps to the standard may leave such a cue out";
    ODD_EDITION "odd-edition" Error Reading "what changed since an old sheet is told from the editions, in the order of their days";
    ODD_ROWS "odd-rows" Error Reading "only the items of one numbered list become rows with a tick box and a margin";
    OUTSIDE_LIBRARY "outside-library" Error Reading "nothing outside the library's folder is read or published";
    RAW_HTML "raw-html" Warning Reading "markup that could run, restyle or load something is taken out of pages";
    SHADOWED_CALCULATOR "shadowed-calculator" Error Reading "two calculators of one name would give two answers to one question";
    THIN_REASON "thin-reason" Error Reading "where someone can get hurt, the next reader must see what was looked at";
    TOO_DEEP "too-deep" Error Reading "what stands so deep in other things is a slip of the keyboard, and nobody could read it";
    TOO_LARGE "too-large" Error Reading "a file of this size cannot be a page, a register or a picture for a phone";
    UNKNOWN_FIELD "unknown-field" Error Reading "what the field says would be left out of the page";
    UNKNOWN_REFERENCE "unknown-reference" Error Reading "the reader would be sent to something that does not exist";
    UNKNOWN_SCHEME "unknown-scheme" Error Reading "the link would lead nowhere";
    UNKNOWN_WORD "unknown-word" Error Reading "the word decides how the entry is shown and checked";
    UNREAD_FILE "unread-file" Warning Reading "nothing reads this file, so what it says is not published";
    UNSAFE_PICTURE "unsafe-picture" Error Reading "a drawing is content: it may not run code or fetch anything";
    UNSHOWN_FIGURE "unshown-figure" Warning Reading "whoever follows the rows never meets the figure where it is needed";
    UNUSED_INPUT "unused-input" Warning Reading "the reader would measure something that changes nothing";
    UNUSED_MEDIA "unused-media" Hint Reading "a file that no page shows is not published";
    WORDLESS_PICTURE "wordless-picture" Error Reading "whoever cannot see the picture, or prints it badly, loses what it shows";
    WORKED_CALCULATOR "worked-calculator" Error Reading "without a calculator of that name nothing is worked out";
    WORKED_DOUBTFUL "worked-doubtful" Warning Reading "the page works out something that its own calculator cautions against";
    WORKED_INPUT "worked-input" Error Reading "what is given under a name that the calculator does not know would be left out of the sum";
    WORKED_MISPLACED "worked-misplaced" Error Reading "a calculation inside a row would push the next step out of sight";
    WORKED_MISSING "worked-missing" Error Reading "nothing can be worked out until every measurement is given";
    WORKED_NO_VALUE "worked-no-value" Error Reading "a sum needs one value, and this refers to none";
    WORKED_ORDER "worked-order" Error Reading "a reader works down the page, so a result can only be carried on from above";
    WORKED_REFUSED "worked-refused" Error Reading "the page would show a calculation without an answer";
    WORKED_REMARK "worked-remark" Hint Reading "the calculator has a remark to make on what the page works out";
    WORKED_UNSAFE "worked-unsafe" Error Reading "whoever works to this page could be hurt: its own calculator warns of it";
    WORKED_VALUE "worked-value" Error Reading "a value that cannot be read, or of the wrong kind, would spoil the sum";
    WRONG_FOLDER "wrong-folder" Error Reading "the folder says what kind of page it holds, and other pages rely on it";
    WRONG_KIND "wrong-kind" Error Reading "a figure in the wrong kind of unit is a slip that can spoil a machine";
    WRONG_TYPE "wrong-type" Error Reading "a value of the wrong shape cannot be used";
    YAML_SYNTAX "yaml-syntax" Error Reading "nothing of this text can be used until it can be read";
}
