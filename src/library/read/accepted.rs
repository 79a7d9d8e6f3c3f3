//! Reading `accepted.yaml`. Whether its entries fit what is found is for `proof` to say.

use jiff::civil::Date;

use crate::diagnostic::rules;
use crate::library::{Acceptance, Library, Spanned};
use crate::yaml::{Fields, Node, Problems, date};

/// The file that lists the findings that may stand. There is one, so that nothing is accepted out of sight.
pub const ACCEPTED_FILE: &str = "accepted.yaml";

const FIELDS: [&str; 8] = [
    "finding", "file", "words", "nth", "reason", "by", "date", "until",
];

/// One entry; every field but `nth` must be there.
pub fn acceptance(node: &Node, problems: &mut Problems) -> Option<Acceptance> {
    let fields = Fields::open(node, "an acceptance", &FIELDS, problems)?;
    let finding = words(&fields, "finding", problems);
    let file = words(&fields, "file", problems);
    let at_words = words(&fields, "words", problems);
    let reason = words(&fields, "reason", problems);
    let by = words(&fields, "by", problems);
    let mut day = |name| date(fields.need(name, problems)?, problems);
    let (from, until) = (day("date"), day("until"));
    Some(Acceptance {
        nth: fields.whole("nth", problems),
        at: finding.as_ref()?.at.clone(),
        finding: finding?,
        file: file?,
        words: at_words?,
        reason: reason?,
        by: by?.value,
        date: from?.value,
        until: until?.value,
    })
}

/// A text that must be there and say something, spaces and line ends as one space.
fn words(
    fields: &Fields<'_>,
    name: &'static str,
    problems: &mut Problems,
) -> Option<Spanned<String>> {
    let text = fields.need_text(name, problems)?;
    if text.value.is_empty() {
        problems.push(
            rules::MISSING_FIELD
                .at(&text.at, format!("an acceptance needs words for `{name}`"))
                .help(format!("add `{name}: …`")),
        );
        return None;
    }
    Some(text.map(|text| text.split_whitespace().collect::<Vec<_>>().join(" ")))
}

/// Takes out the entries whose dates cannot be, and reports them: the day somebody looked is not to come, and the day to
/// look again is after it.
pub fn check(library: &mut Library, problems: &mut Problems) {
    let today = library.settings.date;
    library.accepted.retain(|entry| {
        let wrong = if entry.until <= entry.date {
            format!(
                "`until` is {}, which is not after {}",
                entry.until, entry.date
            )
        } else if entry.date > today && today != Date::ZERO {
            format!("it is dated {}, but the library {today}", entry.date)
        } else {
            return true;
        };
        problems.push(
            rules::ACCEPTED_DATES
                .at(
                    &entry.at,
                    format!("the dates of this acceptance cannot be: {wrong}"),
                )
                .help(
                    "`date` is the day somebody looked, `until` a later day on which to look again",
                ),
        );
        false
    });
}
