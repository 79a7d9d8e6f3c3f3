//! Pieces of text and references to HTML: where a reference gets its address and, if the writer left them out, its
//! words.

use super::Site;
use super::addresses;
use super::dates::clock;
use super::html::Html;
use super::machines::Machines;
use super::usage::Place;
use super::views;
use super::views::figure::dashed;
use crate::document::{Piece, Reference, SectionKind, Target, Worked};
use crate::library::{
    Applies, Detail, Figure, Notice, Page, Part, Signal, Spanned, Superseded, Withdrawn,
};
use crate::quantity::Quantity;
use crate::text::escape_html as escape;

impl<'a> Site<'a> {
    /// Pieces as HTML. `page` is the page on which they stand: machines that it is for as a whole are not named again.
    pub(super) fn pieces(&self, pieces: &[Piece], page: Option<&Page>) -> Html {
        let mut html = String::new();
        for piece in pieces {
            match piece {
                Piece::Html(text) => html.push_str(text),
                Piece::Reference(reference) => html.push_str(&self.reference(reference, page)),
                Piece::Worked(worked) => html.push_str(&self.worked(worked, page).0),
            }
        }
        Html(self.with_source_sets(html))
    }

    /// A phrase of front matter or of a register as HTML.
    pub(super) fn phrase(&self, phrase: &Spanned<String>, page: Option<&Page>) -> Html {
        self.pieces(self.documents.phrases.get(phrase), page)
    }

    /// A phrase as a paragraph, or as the blocks that it has of its own.
    pub(super) fn paragraph(&self, phrase: &Spanned<String>, page: Option<&Page>) -> Html {
        self.block(self.documents.phrases.get(phrase), page)
    }

    /// Pieces as a paragraph, or as the blocks that they have of their own.
    pub(super) fn block(&self, pieces: &[Piece], page: Option<&Page>) -> Html {
        const BLOCKS: [&str; 9] = [
            "<p",
            "<ul",
            "<ol",
            "<figure",
            "<table",
            "<pre",
            "<blockquote",
            "<div",
            "<h",
        ];
        let html = self.pieces(pieces, page);
        let own = |piece: &Piece| matches!(piece, Piece::Html(html) if BLOCKS.iter().any(|block| html.contains(block)));
        let first = |piece: &Piece| matches!(piece, Piece::Html(html) if BLOCKS.iter().any(|block| html.trim_start().starts_with(block)));
        match (pieces.iter().any(own), pieces.first().is_some_and(first)) {
            (false, _) => Html(format!("<p>{}</p>", html.0)),
            (true, true) => html,
            (true, false) => Html(format!("<div>{}</div>", html.0)),
        }
    }

    /// The machines of something on `page`, without words where the page as a whole says the same.
    pub(super) fn machines_on(&self, applies: &Applies, page: Option<&Page>) -> Machines {
        let variants = &self.library.settings.variants;
        let machines = Machines::new(applies, variants);
        match page.is_some_and(|page| Machines::new(&page.applies, variants) == machines) {
            true => Machines {
                words: String::new(),
                ..machines
            },
            false => machines,
        }
    }

    /// The machines a figure is for.
    pub(super) fn figure_applies(&self, home: &Page, figure: &Figure) -> Applies {
        let variants = &self.library.settings.variants;
        figure.applies.within(&home.applies, variants)
    }

    /// `superseded` or `withdrawn`, for a part that should not be fitted any more.
    pub(super) fn state_word(&self, part: &Part) -> Option<&str> {
        let words = &self.theme.words().text;
        part.superseded
            .as_ref()
            .map(|superseded| match self.is_withdrawn(part, superseded) {
                true => words.withdrawn.as_str(),
                false => words.superseded.as_str(),
            })
    }

    /// Whether a part is withdrawn: nothing takes its place, or a bulletin withdraws it.
    pub(super) fn is_withdrawn(&self, part: &Part, superseded: &Superseded) -> bool {
        let told = self
            .usage
            .bulletins(&Target::Part(part.number.value.clone()));
        superseded.by.is_empty()
            || told
                .iter()
                .any(|told| matches!(told.withdraws, Some(Withdrawn::Part(_))))
    }

    /// `step 9`, `make safe a`: what a row is called in running text, or the title of a worked calculation; empty for a
    /// place outside both.
    pub(super) fn place_name(&self, place: &Place<'_>) -> String {
        match (place.row, place.sum) {
            (Some((kind, row)), _) => format!("{} {}", self.section_word(kind), row.label),
            (None, Some(sum)) => sum.title.clone(),
            (None, None) => String::new(),
        }
    }

    /// The word that stands before a row's label.
    pub(super) fn section_word(&self, kind: SectionKind) -> &str {
        let words = &self.theme.words().text.rows;
        words.get(section_key(kind)).map_or("", String::as_str)
    }

    /// A signal word as it is printed.
    pub(super) fn signal_word(&self, signal: Signal) -> &str {
        let words = &self.theme.words().text.signals;
        words.get(signal_key(signal)).map_or("", String::as_str)
    }

    /// A signal word as it is printed, by its key.
    pub(super) fn signal_words(&self, key: &str) -> String {
        let words = &self.theme.words().text.signals;
        words.get(key).cloned().unwrap_or_default()
    }

    /// A worked calculation of a page.
    fn worked(&self, worked: &Worked, page: Option<&Page>) -> Html {
        views::worked::view(self, worked, page)
            .map_or_else(Html::default, |view| self.theme.part("worked.html", &view))
    }

    fn reference(&self, reference: &Reference, page: Option<&Page>) -> String {
        let library = self.library;
        let words = reference.words.as_deref();
        let found = match &reference.target {
            Target::Figure(_, home, id) => library.pages.get(home).and_then(|home| {
                Some(self.figure_link(home, library.figure(&home.id, id)?, words, page))
            }),
            Target::Part(number) => library
                .parts
                .get(number)
                .map(|part| self.part_link(part, words, page)),
            Target::Tool(id) => library.tools.get(id).map(|tool| {
                link(&addresses::tool(id), "ref-tool", words, || {
                    escape(&tool.name)
                })
            }),
            Target::Consumable(id) => library.consumables.get(id).map(|item| {
                link(&addresses::consumable(id), "ref-consumable", words, || {
                    escape(&item.name)
                })
            }),
            Target::Notice(id) => library
                .notices
                .get(id)
                .map(|notice| self.notice_link(notice, words)),
            Target::Page(id, anchor) => library
                .pages
                .get(id)
                .map(|target| page_link(target, anchor.as_deref(), words)),
            Target::Video(id, at) => library
                .pages
                .get(id)
                .map(|video| video_link(video, *at, words)),
            Target::Calculator(id) => library.calculator(id).map(|calculator| {
                let title = || escape(&calculator.title);
                link(&addresses::calculator(id), "ref-calculator", words, title)
            }),
        };
        found.unwrap_or_else(|| words.unwrap_or_default().to_owned())
    }

    fn notice_link(&self, notice: &Notice, words: Option<&str>) -> String {
        let full = || {
            format!(
                "{}: {}",
                self.signal_word(notice.signal),
                escape(&notice.title)
            )
        };
        link(
            &addresses::notice(&notice.id.value),
            "ref-notice",
            words,
            full,
        )
    }

    fn figure_link(
        &self,
        home: &Page,
        figure: &Figure,
        words: Option<&str>,
        page: Option<&Page>,
    ) -> String {
        let address = addresses::figure(figure.family(), &home.id, &figure.id.value);
        if words.is_some() {
            return link(&address, "ref-figure", words, String::new);
        }
        let machines = self.machines_on(&self.figure_applies(home, figure), page);
        let value = self.figure_value(figure);
        let anchor = link(&address, "ref-figure", None, || value.0.clone());
        labelled(&machines, &anchor)
    }

    /// A part inside a row: its number and the beginning of its name.
    pub(super) fn part_in_short(&self, part: &Part, page: &Page) -> String {
        let name = part.name.split(',').next().unwrap_or_default();
        let words = format!(
            "<span class=\"part-number\">{}</span> {}",
            escape(&part.number.value),
            escape(name)
        );
        labelled(
            &self.machines_on(&part.applies, Some(page)),
            &self.part_link(part, Some(&words), None),
        )
    }

    fn part_link(&self, part: &Part, words: Option<&str>, page: Option<&Page>) -> String {
        let address = addresses::part(&part.number.value);
        let name = || {
            let number = escape(&part.number.value);
            format!(
                "<span class=\"part-number\">{number}</span> {}",
                escape(&part.name)
            )
        };
        let mut anchor = link(&address, "ref-part", words, name);
        if let Some(state) = self.state_word(part) {
            anchor.push_str(&format!(" <b class=\"state-word\">{}</b>", escape(state)));
        }
        match words {
            Some(_) => anchor,
            None => labelled(&self.machines_on(&part.applies, page), &anchor),
        }
    }

    /// The value of a figure in short: the quantity a fitter works to, or for a fit without one what stands in its
    /// place.
    pub(super) fn figure_value(&self, figure: &Figure) -> Html {
        match figure.value() {
            Some(quantity) => self.quantity(quantity),
            None => Html::text(&wanted(figure)),
        }
    }

    /// A quantity in every system.
    pub(super) fn quantity(&self, quantity: &Quantity) -> Html {
        self.quantities.html(quantity)
    }
}

/// What stands for a fit that has no quantity of its own: what is wanted, or both sizes.
pub(super) fn wanted(figure: &Figure) -> String {
    let Detail::Fit {
        want, hole, shaft, ..
    } = &figure.detail
    else {
        return String::new();
    };
    let size = |member: &Option<crate::library::Member>| {
        let member = member.as_ref()?;
        Some(
            member
                .size
                .as_ref()
                .or(member.limits.as_ref())?
                .value
                .written(),
        )
    };
    let sizes = [size(hole), size(shaft)]
        .into_iter()
        .flatten()
        .collect::<Vec<String>>()
        .join(" / ");
    want.as_ref().map_or(sizes, |want| dashed(want))
}

/// The key of a section in the theme's words and class names.
pub(super) fn section_key(kind: SectionKind) -> &'static str {
    match kind {
        SectionKind::MakeSafe => "make-safe",
        SectionKind::Steps => "steps",
        SectionKind::FirstStart => "first-start",
        SectionKind::PutBack => "put-back",
        SectionKind::Record => "record",
    }
}

/// The key of a signal word in the theme's words and class names.
pub(super) fn signal_key(signal: Signal) -> &'static str {
    Signal::WORDS
        .iter()
        .find(|(_, known)| *known == signal)
        .map_or("notice", |(word, _)| word)
}

fn page_link(page: &Page, anchor: Option<&str>, words: Option<&str>) -> String {
    let address = anchor.map_or_else(
        || addresses::page(page),
        |anchor| addresses::anchor(page, anchor),
    );
    link(&address, "ref-page", words, || {
        format!(
            "{} {}",
            escape(&page.number.value),
            escape(&page.title.value)
        )
    })
}

fn video_link(video: &Page, at: Option<u32>, words: Option<&str>) -> String {
    let address = addresses::moment(video, at);
    let full = || {
        let time = at.map_or(String::new(), |at| format!(" {}", clock(at)));
        format!("{}{time}", escape(&video.title.value))
    };
    link(&address, "ref-video", words, full)
}

/// An anchor with the writer's words, or with those put together here.
fn link(
    address: &str,
    class: &str,
    words: Option<&str>,
    filled: impl FnOnce() -> String,
) -> String {
    let text = words.map_or_else(filled, str::to_owned);
    format!(
        "<a class=\"{class}\" href=\"{}\">{text}</a>",
        escape(address)
    )
}

/// An anchor that is for some machines only: with their name before it, and marked for the machine choice.
fn labelled(machines: &Machines, anchor: &str) -> String {
    if machines.is_everyone() {
        return anchor.to_owned();
    }
    let label = match machines.words.is_empty() {
        true => String::new(),
        false => format!(
            "<span class=\"for-label\">{}</span> ",
            escape(&machines.words)
        ),
    };
    let attributes = &machines.attributes.0;
    format!("<span class=\"in-words\"{attributes}>{label}{anchor}</span>")
}
