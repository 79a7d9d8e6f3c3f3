//! Reading `for:` and serials.

use crate::diagnostic::rules;
use crate::library::{Applies, Serial, Spanned};
use crate::yaml::{Fields, Problems, id, text};
use crate::yaml::{Node, Value};

/// The field `for`: a list of choices, or a group with `choices`, `from` and `to`; everyone if not given.
pub fn applies(fields: &Fields<'_>, problems: &mut Problems) -> Applies {
    let Some(node) = fields.get("for") else {
        return Applies::default();
    };
    match &node.value {
        Value::List(_) => Applies {
            choices: crate::yaml::list(node, problems, id),
            ..Applies::default()
        },
        Value::Text(_) => Applies {
            choices: id(node, problems).into_iter().collect(),
            ..Applies::default()
        },
        _ => range(node, problems).unwrap_or_default(),
    }
}

fn range(node: &Node, problems: &mut Problems) -> Option<Applies> {
    let fields = Fields::open(node, "`for`", &["choices", "from", "to"], problems)?;
    let applies = Applies {
        choices: fields.list("choices", problems, id),
        from: fields.get("from").and_then(|node| serial(node, problems)),
        to: fields.get("to").and_then(|node| serial(node, problems)),
    };
    crossed(&applies.from, &applies.to, problems);
    Some(applies)
}

/// A serial, as `S16-0088`.
pub fn serial(node: &Node, problems: &mut Problems) -> Option<Spanned<Serial>> {
    let found = text(node, problems)?;
    let serial = Serial::parse(&found);
    if serial.is_none() {
        let message = format!("`{}` is not a serial number", found.value);
        let help = "a serial ends in its running number, such as `S16-0088`";
        problems.push(rules::BAD_SERIAL.at(&node.at, message).help(help));
    }
    serial.map(|serial| found.map(|_| serial))
}

/// Reports a range whose ends are of different series or the wrong way round.
pub fn crossed(
    from: &Option<Spanned<Serial>>,
    to: &Option<Spanned<Serial>>,
    problems: &mut Problems,
) {
    let (Some(from), Some(to)) = (from, to) else {
        return;
    };
    let message = if from.prefix != to.prefix {
        format!(
            "`{}` and `{}` are serials of different series",
            from.text, to.text
        )
    } else if from.number > to.number {
        format!(
            "the range ends at `{}` before it begins at `{}`",
            to.text, from.text
        )
    } else {
        return;
    };
    problems.push(
        rules::BAD_SERIAL
            .at(&to.at, message)
            .other(&from.at, "the range begins here")
            .help("write the first and the last serial of one series"),
    );
}
