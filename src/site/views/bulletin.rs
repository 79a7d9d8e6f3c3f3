//! A bulletin: how soon to act, what is withdrawn, what to do with the printed copy and with work already done.

use serde::Serialize;

use super::figure::name;
use super::frame::Frame;
use super::issues::{IssueRow, issues};
use super::sheet::{prose, word};
use super::tags::{PageTag, PartTag};
use crate::library::{Condition, Page, Spanned, Urgency, Withdrawn};
use crate::site::dates::Day;
use crate::site::html::Html;
use crate::site::machines::Machines;
use crate::site::supersession::{Outlook, outlook};
use crate::site::{Site, addresses};

/// A bulletin.
#[derive(Debug, Serialize)]
pub struct BulletinView {
    frame: Frame,
    summary: Option<String>,
    /// A key of the theme's words.
    urgency: &'static str,
    date: Option<Day>,
    issue: u32,
    /// The pages whose figures it withdraws.
    touches: Vec<PageTag>,
    changes: Vec<ChangeView>,
    printed: Html,
    done: Html,
    body: Vec<Html>,
    issues: Vec<IssueRow>,
}

/// Something withdrawn: the old and the new.
#[derive(Debug, Default, Serialize)]
pub struct ChangeView {
    /// The machines it concerns.
    pub machines: Machines,
    /// What it is.
    pub name: String,
    /// Its address.
    pub href: String,
    /// The number of the page that declares the figure; empty for a part.
    pub page: String,
    /// The issues that carried the old value, in words.
    pub issues: Option<String>,
    /// The old value; empty for a part.
    pub was: String,
    /// The new value.
    pub now: Html,
    /// The state of threads or faces, as a key of the theme's words.
    pub condition: &'static str,
    /// For a part: what it is and what takes its place.
    pub part: Option<PartTag>,
    /// What takes the part's place.
    pub outlook: Option<Outlook>,
}

/// The view of a bulletin.
pub fn view(site: &Site<'_>, page: &Page) -> BulletinView {
    let bulletin = page.bulletin.as_ref();
    let withdraws = bulletin.map_or(&[][..], |bulletin| &bulletin.withdraws);
    let mut touches: Vec<PageTag> = Vec::new();
    for home in withdraws
        .iter()
        .filter_map(|withdrawn| home(site, withdrawn))
    {
        let tag = PageTag::new(home);
        if !touches.iter().any(|known| known.href == tag.href) {
            touches.push(tag);
        }
    }
    let optional = |text: Option<&crate::library::Spanned<String>>| {
        text.map_or_else(Html::default, |text| site.paragraph(text, Some(page)))
    };
    BulletinView {
        frame: Frame::page(site, page),
        summary: Spanned::plain(&page.summary),
        urgency: word(&Urgency::WORDS, bulletin.map(|bulletin| bulletin.urgency)),
        date: page.date.map(|date| Day::new(date, site.theme.words())),
        issue: page.issue.value,
        touches,
        changes: withdraws
            .iter()
            .map(|withdrawn| change(site, withdrawn, Some(page)))
            .collect(),
        printed: optional(bulletin.map(|bulletin| &bulletin.printed)),
        done: optional(bulletin.and_then(|bulletin| bulletin.done.as_ref())),
        body: prose(site, page),
        issues: issues(site, page),
    }
}

/// Something withdrawn, as told on a page.
pub fn change(site: &Site<'_>, withdrawn: &Withdrawn, page: Option<&Page>) -> ChangeView {
    match withdrawn {
        Withdrawn::Part(number) => {
            let part = site.library.parts.get(&number.value);
            ChangeView {
                machines: part.map_or_else(Machines::default, |part| {
                    site.machines_on(&part.applies, page)
                }),
                part: Some(PartTag::find(site, &number.value)),
                outlook: part.and_then(|part| outlook(site, part)),
                ..ChangeView::default()
            }
        }
        Withdrawn::Figure {
            figure: key,
            was,
            issues,
            ..
        } => {
            let id = key.value.split_once('/').map_or("", |(_, id)| id);
            let found = home(site, withdrawn)
                .and_then(|home| Some((home, site.library.figure(&home.id, id)?)));
            let Some((home, figure)) = found else {
                return ChangeView::default();
            };
            ChangeView {
                machines: site.machines_on(&site.figure_applies(home, figure), page),
                name: name(site, figure),
                href: addresses::figure(figure.family(), &home.id, &figure.id.value),
                page: home.number.value.clone(),
                issues: issues.clone(),
                was: was.value.written(),
                now: site.figure_value(figure),
                condition: figure.condition.map_or("", Condition::word),
                ..ChangeView::default()
            }
        }
    }
}

/// The page that declares a withdrawn figure.
fn home<'a>(site: &Site<'a>, withdrawn: &Withdrawn) -> Option<&'a Page> {
    let Withdrawn::Figure { figure, .. } = withdrawn else {
        return None;
    };
    let (page, _) = figure.value.split_once('/')?;
    site.library.pages.get(page)
}
