//! Parts: what they are, and what took their place.

use std::collections::BTreeMap;

use super::Spanned;
use super::applies::Applies;
use crate::quantity::Quantity;
use crate::yaml::Picture;

/// One part, or a kit of parts.
#[derive(Clone, Debug)]
pub struct Part {
    /// Its number, as printed.
    pub number: Spanned<String>,
    /// Its name.
    pub name: Spanned<String>,
    /// Other names that people use for it.
    pub also: Vec<String>,
    /// What it is for, how to tell it, Markdown.
    pub what: Option<Spanned<String>>,
    /// Which machines it fits.
    pub applies: Applies,
    /// The part's own issue letter.
    pub issue: Option<String>,
    /// What it is made of.
    pub material: Option<String>,
    /// Its thread.
    pub thread: Option<String>,
    /// Its property class.
    pub class: Option<String>,
    /// How heavy it is.
    pub mass: Option<Spanned<Quantity>>,
    /// Whether it is fitted once only.
    pub use_once: bool,
    /// Whether it can hurt skin, eyes or lungs.
    pub chemical: bool,
    /// Parts it can be mistaken for.
    pub look_alikes: Vec<LookAlike>,
    /// What it must bear in service, for the calculator that judges it.
    pub duty: Option<Duty>,
    /// What is in it, if it is a kit.
    pub contents: Vec<Content>,
    /// What took its place.
    pub superseded: Option<Superseded>,
    /// A picture of it.
    pub picture: Option<Picture>,
    /// A remark.
    pub note: Option<Spanned<String>>,
}

/// What a part must bear in service.
#[derive(Clone, Debug)]
pub struct Duty {
    /// The calculator that judges it, by id.
    pub calculator: Spanned<String>,
    /// What the calculator is given, by input.
    pub given: BTreeMap<String, Spanned<String>>,
}

/// A part that looks alike.
#[derive(Clone, Debug)]
pub struct LookAlike {
    /// Its number.
    pub part: Spanned<String>,
    /// How to tell them apart.
    pub differs: Spanned<String>,
}

/// One line of a kit.
#[derive(Clone, Debug)]
pub struct Content {
    /// A part's number, or a consumable's id.
    pub item: Item,
    /// How many.
    pub quantity: u32,
}

/// A part or a consumable.
#[derive(Clone, Debug)]
pub enum Item {
    /// A part's number.
    Part(Spanned<String>),
    /// A consumable's id.
    Consumable(Spanned<String>),
}

/// What took a part's place, and under which conditions.
#[derive(Clone, Debug)]
pub struct Superseded {
    /// Its successors: one, or one a variant; none if it is withdrawn without one.
    pub by: Vec<Successor>,
    /// From which serial the successor was fitted.
    pub from: Option<Spanned<super::applies::Serial>>,
    /// What else must be fitted with the successor.
    pub needs: Vec<Spanned<String>>,
    /// What becomes of one that is fitted.
    pub fitted: Option<Fitted>,
    /// What becomes of one on the shelf.
    pub stock: Option<Stock>,
    /// The bulletin that says so.
    pub bulletin: Option<Spanned<String>>,
    /// A remark.
    pub note: Option<Spanned<String>>,
}

/// A successor, and which machines it is for if they differ.
#[derive(Clone, Debug)]
pub struct Successor {
    /// Its number.
    pub part: Spanned<String>,
    /// Which machines it is for.
    pub applies: Applies,
}

/// What becomes of a superseded part that is in a machine.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fitted {
    /// It may stay if it is sound.
    MayStay,
    /// Once out, it must not go back.
    NotRefitted,
}

impl Fitted {
    /// The words that name each in the parts register.
    pub const WORDS: [(&'static str, Fitted); 2] = [
        ("may stay in service if sound", Fitted::MayStay),
        ("must not be refitted", Fitted::NotRefitted),
    ];
}

/// What becomes of a superseded part on the shelf.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stock {
    /// It may be used.
    UseUp,
    /// It must be scrapped.
    Scrap,
}

impl Stock {
    /// The words that name each in the parts register.
    pub const WORDS: [(&'static str, Stock); 2] =
        [("use up", Stock::UseUp), ("scrap", Stock::Scrap)];
}
