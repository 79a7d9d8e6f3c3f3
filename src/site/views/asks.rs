//! The rows of a calculator's form: what is asked, in which unit, and where to measure it.

use serde::Serialize;

use super::tags::PictureTag;
use crate::calculator::{Definition, Domain, Input};
use crate::quantity::{Quantity, System, Unit, counterpart};
use crate::site::Site;
use crate::site::html::Html;
use crate::site::math::Setting;

/// One thing asked.
#[derive(Debug, Serialize)]
pub struct Ask {
    id: String,
    name: String,
    symbol: Html,
    how: String,
    /// The picture that shows where to measure.
    picture: Option<PictureTag>,
    /// The unit that the reader's preference follows: `length`, `torque`, `temperature` or empty.
    kind: String,
    units: Vec<UnitChoice>,
    /// The example's number, to be seen in an empty box.
    example: String,
    /// Fixed answers: what is sent, and its words.
    choices: Vec<(String, String)>,
    default: String,
    /// Whether it may be left out.
    spare: bool,
    from: String,
    to: String,
}

/// A unit to choose, and for which system it is the usual one.
#[derive(Debug, Serialize)]
struct UnitChoice {
    symbol: &'static str,
    system: &'static str,
}

/// What must be given, and what may be left out.
pub fn rows(
    site: &Site<'_>,
    definition: &Definition,
    setting: &Setting<'_>,
) -> (Vec<Ask>, Vec<Ask>) {
    let asks = definition
        .inputs
        .iter()
        .map(|input| ask(site, input, setting));
    asks.partition(|ask: &Ask| !ask.spare)
}

fn ask(site: &Site<'_>, input: &Input, setting: &Setting<'_>) -> Ask {
    let mut ask = Ask {
        id: input.id.value.clone(),
        name: input.name.clone(),
        symbol: input
            .symbol
            .as_ref()
            .map_or_else(Html::default, |_| setting.symbol(&input.id.value)),
        how: input.measured_at.clone().unwrap_or_default(),
        picture: input
            .picture
            .as_ref()
            .map(|picture| PictureTag::new(site, picture)),
        kind: String::new(),
        units: Vec::new(),
        example: String::new(),
        choices: Vec::new(),
        default: input.default.clone().unwrap_or_default(),
        spare: input.default.is_some() || input.optional,
        from: String::new(),
        to: String::new(),
    };
    match &input.domain {
        Domain::Range { unit, from, to } => {
            ask.kind = unit.kind().words().replace(' ', "-");
            ask.units = units(site, unit, input);
            let example = Quantity::parse_with_unit(&input.example, unit).ok();
            ask.example = example.map_or(String::new(), |example| example.compact());
            ask.from = from.written();
            ask.to = to.written();
        }
        Domain::Numbers { choices, .. } => {
            ask.choices = choices
                .iter()
                .map(|choice| (choice.key.clone(), choice.words.clone()))
                .collect();
        }
        Domain::Words(choices) => ask.choices = choices.clone(),
    }
    ask
}

/// The input's own unit and the usual ones of the other systems.
fn units(site: &Site<'_>, unit: &'static Unit, input: &Input) -> Vec<UnitChoice> {
    let own = unit.system().unwrap_or(System::Metric);
    let mut units = vec![UnitChoice {
        symbol: symbol(unit),
        system: system(own),
    }];
    let example = Quantity::parse_with_unit(&input.example, unit);
    for other in [System::Metric, System::Imperial, System::Gravimetric] {
        let shown = example.as_ref().ok().filter(|_| other != own);
        let shown = shown
            .and_then(|example| counterpart(example, other, &site.library.settings.units.others));
        let symbol = shown.map(|shown| symbol(shown.quantity().unit()));
        units.extend(symbol.map(|symbol| UnitChoice {
            symbol,
            system: system(other),
        }));
    }
    units
}

/// The symbol to type: differences of temperature are typed as degrees.
fn symbol(unit: &'static Unit) -> &'static str {
    match unit.symbol() {
        "1" => "",
        symbol => symbol,
    }
}

fn system(system: System) -> &'static str {
    match system {
        System::Metric => "metric",
        System::Imperial => "imperial",
        System::Gravimetric => "gravimetric",
    }
}
