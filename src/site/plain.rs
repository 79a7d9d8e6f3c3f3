//! Text of pages in plain words, for files that stand outside the pages: captions and linked data.
//!
//! A figure brings its value with its unit, the condition it holds for and its machines: it may stand where nothing
//! else says so.

use super::Site;
use super::text::wanted;
use super::views::figure::name;
use crate::document::{Piece, Reference, Target};
use crate::library::{Condition, Figure, Page};
use crate::search::plain::{plain, squeezed};
use crate::text::escape_html as escape;

impl Site<'_> {
    /// Pieces of a page in plain words, in one line.
    pub(super) fn plain(&self, pieces: &[Piece], page: &Page) -> String {
        let mut told: Vec<Piece> = Vec::with_capacity(pieces.len());
        let mut behind = false;
        for piece in pieces {
            match piece {
                Piece::Reference(reference) => {
                    let words = escape(&self.plain_reference(reference, page));
                    // One behind the other, for two machines, would run into each other.
                    let parted = if behind { "; " } else { "" };
                    told.push(Piece::Html(format!("{parted}{words}")));
                    behind = true;
                }
                Piece::Html(html) => {
                    behind &= html.trim().is_empty();
                    told.push(piece.clone());
                }
                Piece::Worked(_) => told.push(piece.clone()),
            }
        }
        plain(self.library, &told, true)
    }

    /// A reference that stands by itself, with the name of what it points at: `coupling nut: 180 N·m ± 10 N·m (oiled)`.
    pub(super) fn plain_alone(&self, reference: &Reference, page: &Page) -> String {
        match self.figure_of(reference) {
            Some((home, figure)) => {
                let value = self.plain_value(home, figure, page, "");
                squeezed(&format!("{}: {value}", name(self, figure)))
            }
            None => self.plain_reference(reference, page),
        }
    }

    /// A reference inside a sentence: the value of a figure, else the words that it has or that its target is called by.
    fn plain_reference(&self, reference: &Reference, page: &Page) -> String {
        let own = reference.words.as_ref().map(|words| {
            let words = Piece::Html(words.clone());
            plain(self.library, &[words], true)
        });
        match (self.figure_of(reference), own) {
            (Some((home, figure)), own) => {
                self.plain_value(home, figure, page, own.as_deref().unwrap_or(""))
            }
            (None, Some(own)) => own,
            (None, None) => {
                let name = plain(self.library, &[Piece::Reference(reference.clone())], true);
                with_notes(&name, &self.part_notes(&reference.target, page))
            }
        }
    }

    fn figure_of(&self, reference: &Reference) -> Option<(&Page, &Figure)> {
        match &reference.target {
            Target::Figure(_, home, id) => {
                let home = self.library.pages.get(home)?;
                Some((home, self.library.figure(&home.id, id)?))
            }
            _ => None,
        }
    }

    /// The value of a figure with what it holds for; behind words of the writer's own, in the brackets as well.
    fn plain_value(&self, home: &Page, figure: &Figure, page: &Page, own: &str) -> String {
        let value = match figure.value() {
            Some(quantity) => quantity.written(),
            None => wanted(figure),
        };
        let condition = figure.condition.map_or("", Condition::word);
        let words = &self.theme.words().condition;
        let condition = words.get(condition).map_or(condition, String::as_str);
        let machines = self.machines_on(&self.figure_applies(home, figure), Some(page));
        let notes = [condition.to_owned(), machines.words];
        match own.is_empty() {
            true => with_notes(&value, &notes),
            false => {
                let [condition, machines] = notes;
                with_notes(own, &[value, condition, machines])
            }
        }
    }

    /// What has to be known of a part wherever it is named: whether it is still to be fitted, and to what.
    fn part_notes(&self, target: &Target, page: &Page) -> [String; 2] {
        let part = match target {
            Target::Part(number) => self.library.parts.get(number),
            _ => None,
        };
        part.map_or_else(Default::default, |part| {
            let state = self.state_word(part).unwrap_or_default().to_owned();
            [state, self.machines_on(&part.applies, Some(page)).words]
        })
    }
}

/// Words with notes in brackets behind them; empty notes say nothing.
fn with_notes(words: &str, notes: &[String]) -> String {
    let said = notes.iter().filter(|note| !note.is_empty());
    let said: Vec<&str> = said.map(String::as_str).collect();
    let text = match said.is_empty() {
        true => words.to_owned(),
        false => format!("{words} ({})", said.join(", ")),
    };
    squeezed(&text)
}
