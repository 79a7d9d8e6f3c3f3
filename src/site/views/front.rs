//! The front page: machine, drawing, jobs by place, rules, bulletins, lists.

use serde::Serialize;

use super::boards::{BoardRow, newest, numbered, row};
use super::frame::Frame;
use super::lists::{ListTag, lists};
use super::tags::PictureTag;
use crate::library::{Arrangement, Choice, Kind, Serial, Spanned, Variant};
use crate::site::Site;
use crate::site::html::Html;

/// The front page.
#[derive(Debug, Serialize)]
pub struct FrontView {
    frame: Frame,
    about: Html,
    variants: Vec<VariantView>,
    drawing: Option<Drawing>,
    places: Vec<PlaceView>,
    /// Jobs that name no place of the drawing.
    elsewhere: Vec<BoardRow>,
    notes: Vec<BoardRow>,
    rules_title: Option<String>,
    rules: Vec<Html>,
    bulletins: Vec<BoardRow>,
    lists: Vec<ListTag>,
    report: Html,
}

/// A way in which machines differ.
#[derive(Debug, Serialize)]
struct VariantView {
    name: String,
    plate: Option<String>,
    choices: Vec<ChoiceView>,
}

/// One answer, with the serials that have it.
#[derive(Debug, Serialize)]
struct ChoiceView {
    name: String,
    /// What carries the number: hull, engine.
    serial: String,
    from: String,
    to: String,
}

/// The general-arrangement drawing with its balloons.
#[derive(Debug, Serialize)]
struct Drawing {
    picture: PictureTag,
    balloons: Vec<Balloon>,
}

/// A numbered balloon.
#[derive(Debug, Serialize)]
struct Balloon {
    number: usize,
    name: String,
    href: String,
    x: String,
    y: String,
}

/// The jobs of a place.
#[derive(Debug, Serialize)]
struct PlaceView {
    id: String,
    number: usize,
    name: String,
    rows: Vec<BoardRow>,
}

/// The front page.
pub fn view(site: &Site<'_>) -> FrontView {
    let settings = &site.library.settings;
    let phrase = |text: &Option<Spanned<String>>| {
        text.as_ref()
            .map_or_else(Html::default, |text| site.paragraph(text, None))
    };
    let arrangement = settings.arrangement.as_ref();
    let notes = numbered(site, Kind::Note).into_iter();
    FrontView {
        frame: Frame::gathered("jobs"),
        about: phrase(&settings.about),
        variants: settings.variants.iter().map(variant).collect(),
        drawing: arrangement.map(|arrangement| drawing(site, arrangement)),
        places: places(site),
        elsewhere: jobs_at(site, None),
        notes: notes.map(|note| row(site, note)).collect(),
        rules_title: settings.rules_title.clone(),
        rules: settings
            .rules
            .iter()
            .map(|rule| site.phrase(rule, None))
            .collect(),
        bulletins: newest(site),
        lists: lists(site),
        report: phrase(&settings.report),
    }
}

/// The places of the drawing with their jobs.
fn places(site: &Site<'_>) -> Vec<PlaceView> {
    let places = site
        .library
        .settings
        .arrangement
        .iter()
        .flat_map(|arrangement| &arrangement.places);
    places
        .enumerate()
        .map(|(index, place)| PlaceView {
            id: place_id(&place.id.value),
            number: index + 1,
            name: place.name.clone(),
            rows: jobs_at(site, Some(&place.id.value)),
        })
        .collect()
}

/// The jobs of a place, or those that name none of the drawing's.
fn jobs_at(site: &Site<'_>, place: Option<&str>) -> Vec<BoardRow> {
    let places = site
        .library
        .settings
        .arrangement
        .iter()
        .flat_map(|arrangement| &arrangement.places);
    let known: Vec<&str> = places.map(|place| place.id.value.as_str()).collect();
    let jobs = numbered(site, Kind::Job).into_iter().filter(|job| {
        let own = job.place.as_ref().map(|place| place.value.as_str());
        own.filter(|own| known.contains(own)) == place
    });
    jobs.map(|job| row(site, job)).collect()
}

fn variant(variant: &Variant) -> VariantView {
    VariantView {
        name: variant.name.clone(),
        plate: variant.plate.clone(),
        choices: variant.choices.iter().map(choice).collect(),
    }
}

fn choice(choice: &Choice) -> ChoiceView {
    let serials = choice.serials.as_ref();
    let text = |serial: Option<&Spanned<Serial>>| {
        serial.map_or(String::new(), |serial| serial.text.clone())
    };
    ChoiceView {
        name: choice.name.clone(),
        serial: serials
            .and_then(|serials| serials.name.clone())
            .unwrap_or_default(),
        from: text(serials.and_then(|serials| serials.from.as_ref())),
        to: text(serials.and_then(|serials| serials.to.as_ref())),
    }
}

fn drawing(site: &Site<'_>, arrangement: &Arrangement) -> Drawing {
    let balloons = arrangement
        .places
        .iter()
        .enumerate()
        .map(|(index, place)| Balloon {
            number: index + 1,
            name: place.name.clone(),
            href: format!("#{}", place_id(&place.id.value)),
            x: place.at.0.to_string(),
            y: place.at.1.to_string(),
        });
    Drawing {
        picture: PictureTag::new(site, &arrangement.picture),
        balloons: balloons.collect(),
    }
}

fn place_id(place: &str) -> String {
    format!("place-{place}")
}
