//! The declared torques of a page with what a fitter sees of their threads.

use crate::library::{Detail, Figure, Library, Page, Spanned};
use crate::number::Decimal;
use crate::quantity::Quantity;

/// A declared torque.
#[derive(Clone, Copy)]
pub struct Torqued<'d> {
    /// The page that declares it.
    pub page: &'d Page,
    /// The whole figure.
    pub figure: &'d Figure,
    /// The torque to end at.
    pub torque: &'d Spanned<Quantity>,
    /// The thread, as `M20x1.5`.
    pub thread: Option<&'d Spanned<String>>,
    /// The property class.
    pub class: Option<&'d Spanned<String>>,
}

impl<'d> Torqued<'d> {
    /// The torque that a figure is, if it is one.
    pub fn new(page: &'d Page, figure: &'d Figure) -> Option<Torqued<'d>> {
        let Detail::Torque {
            torque,
            thread,
            class,
            ..
        } = &figure.detail
        else {
            return None;
        };
        Some(Torqued {
            page,
            figure,
            torque,
            thread: thread.as_ref(),
            class: class.as_ref(),
        })
    }

    /// The highest torque that is allowed.
    pub fn top(&self) -> Option<Quantity> {
        let (_, upper) = self.torque.limits();
        let top = upper.or_else(|| self.torque.nominal())?;
        Some(Quantity::single(top, self.torque.unit()))
    }

    /// The torque itself: the value, or the middle of a range.
    pub fn middle(&self) -> Option<Decimal> {
        self.torque
            .nominal()
            .or_else(|| match self.torque.limits() {
                (Some(lower), Some(upper)) => Decimal::from_ratio(
                    &((lower.to_ratio() + upper.to_ratio()) / num_bigint::BigInt::from(2)),
                ),
                (lower, upper) => lower.or(upper),
            })
    }

    /// What it is called: its own name and that of its part, in lower case.
    pub fn words(&self, library: &Library) -> String {
        let part = self.figure.part.as_ref();
        let part = part.and_then(|number| library.parts.get(&number.value));
        let name = part.map_or("", |part| part.name.value.as_str());
        format!("{} {name}", self.figure.name).to_lowercase()
    }

    /// What the page says of it beside its values, in lower case.
    pub fn remarks(&self) -> String {
        let note = self.figure.note.as_ref();
        let note = note.map_or("", |note| note.value.as_str());
        format!("{} {note}", self.figure.name).to_lowercase()
    }
}

/// The torques that a page declares.
pub fn torques(page: &Page) -> impl Iterator<Item = Torqued<'_>> {
    page.figures
        .iter()
        .filter_map(move |figure| Torqued::new(page, figure))
}
