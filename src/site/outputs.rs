//! The list of files that a site consists of, and which view shows each.

use super::assets::{Asset, assets};
use super::{Family, Site, addresses, data, feed, keeping, linked, reckon_data, tracks, views};
use crate::calculator::Definition;
use crate::diagnostic::Diagnostic;
use crate::library::{Kind, Page, Part};

/// One file of the site.
pub enum Output<'a> {
    /// The front page.
    Front,
    /// The page that answers questions.
    Find,
    /// Every name, alphabetically.
    AToZ,
    /// Every figure under its part.
    ByPart,
    /// The index of jobs and notes.
    Jobs,
    /// The list of bulletins.
    Bulletins,
    /// The list of videos.
    Videos,
    /// The records that a reader's browser keeps.
    Records,
    /// A page of the library.
    Page(&'a Page),
    /// What a page says as linked data.
    Linked(&'a Page),
    /// The chapters of a film.
    Chapters(&'a Page),
    /// What is said in a film, put right.
    Captions(&'a Page),
    /// A part's page.
    Part(&'a Part),
    /// The index of parts.
    Parts,
    /// The index of tools.
    Tools,
    /// The index of consumables.
    Consumables,
    /// The table of a family of figures.
    Table(Family),
    /// Every notice by signal word.
    Notices,
    /// The index of calculators.
    Calculators,
    /// A calculator's page.
    Calculator(&'a Definition),
    /// What a calculator's script works with.
    CalculatorScript(&'a Definition),
    /// The units that a reader may type.
    UnitsScript,
    /// What changed from edition to edition.
    Changes,
    /// The same as a feed.
    ChangesFeed,
    /// Every figure as JSON.
    FiguresJson,
    /// Every figure as CSV.
    FiguresCsv,
    /// What scripts know of the library.
    LibraryScript,
    /// What a reader's phone keeps, and the choice of it.
    Keep,
    /// What a phone asks for before it puts the library among its programs.
    Manifest,
    /// What proof found, for the workshop.
    Proof(&'a [Diagnostic]),
    /// A file of the theme.
    Asset(&'static Asset),
}

impl Output<'_> {
    /// The file's address from the top of the site.
    pub fn address(&self) -> String {
        match self {
            Output::Page(page) => addresses::page(page),
            Output::Linked(page) => addresses::linked(page),
            Output::Chapters(page) => addresses::chapters(page),
            Output::Captions(page) => addresses::captions(page),
            Output::Part(part) => addresses::part(&part.number.value),
            Output::Asset(asset) => asset.path.to_owned(),
            Output::Proof(_) => addresses::PROOF.to_owned(),
            Output::Front => addresses::FRONT.to_owned(),
            Output::Find => addresses::FIND.to_owned(),
            Output::AToZ => addresses::A_TO_Z.to_owned(),
            Output::ByPart => addresses::BY_PART.to_owned(),
            Output::Jobs => addresses::JOBS.to_owned(),
            Output::Bulletins => addresses::BULLETINS.to_owned(),
            Output::Videos => addresses::VIDEOS.to_owned(),
            Output::Records => addresses::RECORDS.to_owned(),
            Output::Parts => addresses::PARTS.to_owned(),
            Output::Tools => addresses::TOOLS.to_owned(),
            Output::Consumables => addresses::CONSUMABLES.to_owned(),
            Output::Table(family) => addresses::table(*family).to_owned(),
            Output::Notices => addresses::NOTICES.to_owned(),
            Output::Calculators => addresses::CALCULATORS.to_owned(),
            Output::Calculator(definition) => addresses::calculator(&definition.id.value),
            Output::CalculatorScript(definition) => {
                addresses::calculator_script(&definition.id.value)
            }
            Output::UnitsScript => addresses::UNITS_SCRIPT.to_owned(),
            Output::Changes => addresses::CHANGES.to_owned(),
            Output::ChangesFeed => addresses::CHANGES_FEED.to_owned(),
            Output::FiguresJson => addresses::FIGURES_JSON.to_owned(),
            Output::FiguresCsv => addresses::FIGURES_CSV.to_owned(),
            Output::LibraryScript => addresses::LIBRARY_SCRIPT.to_owned(),
            Output::Keep => addresses::KEEP.to_owned(),
            Output::Manifest => addresses::MANIFEST.to_owned(),
        }
    }

    /// Whether pages load it, so that it must be of their own edition.
    pub fn is_loaded(&self) -> bool {
        matches!(
            self,
            Output::Asset(_)
                | Output::CalculatorScript(_)
                | Output::UnitsScript
                | Output::LibraryScript
        )
    }
}

impl<'a> Site<'a> {
    /// Every file of the site, in a fixed order.
    pub(super) fn outputs(&self) -> Vec<Output<'a>> {
        let mut outputs = vec![
            Output::Front,
            Output::Find,
            Output::AToZ,
            Output::ByPart,
            Output::Jobs,
            Output::Bulletins,
            Output::Videos,
            Output::Records,
            Output::Parts,
            Output::Tools,
            Output::Consumables,
            Output::Notices,
            Output::Calculators,
            Output::UnitsScript,
            Output::FiguresJson,
            Output::FiguresCsv,
            Output::LibraryScript,
            Output::Keep,
            Output::Manifest,
        ];
        outputs.extend(Family::WORDS.map(|(_, family)| Output::Table(family)));
        outputs.extend(self.library.pages.values().map(Output::Page));
        for page in self.library.pages.values() {
            outputs.extend(linked::is_for(page).then_some(Output::Linked(page)));
            outputs.extend(tracks::has_chapters(page).then_some(Output::Chapters(page)));
            outputs.extend(tracks::has_captions(page).then_some(Output::Captions(page)));
        }
        outputs.extend(self.library.parts.values().map(Output::Part));
        for definition in self.library.calculators() {
            outputs.push(Output::Calculator(definition));
            outputs.push(Output::CalculatorScript(definition));
        }
        if !self.library.editions.is_empty() {
            outputs.extend([Output::Changes, Output::ChangesFeed]);
        }
        outputs.extend(self.proof.map(Output::Proof));
        outputs.extend(assets().iter().map(Output::Asset));
        outputs
    }

    /// The bytes of one file.
    pub(super) fn render(&self, output: &Output<'a>) -> Vec<u8> {
        let theme = &self.theme;
        match output {
            Output::Front => theme.render("front.html", &views::front::view(self)),
            Output::Find => theme.render("find.html", &views::find::view(self)),
            Output::AToZ => theme.render("a-z.html", &views::names::view(self)),
            Output::ByPart => theme.render("by-part.html", &views::by_part::view(self)),
            Output::Jobs => theme.render("jobs.html", &views::boards::jobs(self)),
            Output::Bulletins => theme.render("bulletins.html", &views::boards::bulletins(self)),
            Output::Videos => theme.render("videos.html", &views::boards::videos(self)),
            Output::Records => theme.render("records.html", &views::record::kept()),
            Output::Proof(found) => theme.render("proof.html", &views::proof::view(self, found)),
            Output::Page(page) => self.render_page(page),
            Output::Linked(page) => linked::file(self, page),
            Output::Chapters(page) => tracks::chapters(self, page),
            Output::Captions(page) => tracks::captions(self, page),
            Output::Part(part) => theme.render("part.html", &views::part::view(self, part)),
            Output::Parts => theme.render("parts.html", &views::stores::parts(self)),
            Output::Tools => theme.render("tools.html", &views::stores::tools(self)),
            Output::Consumables => {
                theme.render("consumables.html", &views::stores::consumables(self))
            }
            Output::Table(family) => theme.render(
                views::tables::template(*family),
                &views::tables::view(self, *family),
            ),
            Output::Notices => theme.render("notices.html", &views::safety::view(self)),
            Output::Calculators => {
                theme.render("calculators.html", &views::calculator::index(self))
            }
            Output::Calculator(definition) => theme.render(
                "calculator.html",
                &views::calculator::view(self, definition),
            ),
            Output::CalculatorScript(definition) => {
                reckon_data::calculator_script(definition, &self.library.settings.units)
            }
            Output::UnitsScript => reckon_data::units_script(),
            Output::Changes => theme.render("changes.html", &views::changes::view(self)),
            Output::ChangesFeed => feed::feed(self),
            Output::FiguresJson => data::figures_json(self),
            Output::FiguresCsv => data::figures_csv(self),
            Output::LibraryScript => data::library_script(self),
            Output::Keep => theme.render("keep.html", &views::keep::view(self)),
            Output::Manifest => keeping::manifest(self),
            Output::Asset(asset) => asset.bytes.clone(),
        }
    }

    fn render_page(&self, page: &'a Page) -> Vec<u8> {
        match page.kind {
            Kind::Job | Kind::Note => self
                .theme
                .render("sheet.html", &views::sheet::view(self, page)),
            Kind::Bulletin => self
                .theme
                .render("bulletin.html", &views::bulletin::view(self, page)),
            Kind::Video => self
                .theme
                .render("film.html", &views::film::view(self, page)),
            Kind::Record => self
                .theme
                .render("record.html", &views::record::view(self, page)),
        }
    }
}
