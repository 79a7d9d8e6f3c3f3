//! idle-tool: a tool that the page lists and no row uses.

use super::names::{Names, Thing};
use super::pointers::numbers;
use super::used::{Rows, rivals};
use crate::diagnostic::Diagnostic;
use crate::library::Library;
use crate::proof::rules;
use crate::proof::sheet::{PageSheet, Sheet};

/// Reports listed tools that no row links to, names or needs for a figure. A remark on the line says why it is there.
pub fn check(sheets: &[Sheet<'_>], library: &Library, problems: &mut Vec<Diagnostic>) {
    let numbers = numbers(library);
    for sheet in sheets {
        if let Some(page) = &sheet.page {
            of_page(sheet, page, &numbers, library, problems);
        }
    }
}

fn of_page<'d>(
    sheet: &Sheet<'d>,
    page: &PageSheet<'d>,
    numbers: &Names<'d>,
    library: &'d Library,
    problems: &mut Vec<Diagnostic>,
) {
    let Some(rows) = Rows::new(sheet, page, numbers, library) else {
        return;
    };
    let is_pointed = |id: &str| rows.pointed.contains(&Thing::Tool(id));
    for used in &page.page.tools {
        let id = used.tool.value.as_str();
        let Some(tool) = library.tools.get(id) else {
            continue;
        };
        let listed = page.page.tools.iter().map(|used| used.tool.value.as_str());
        let others = rivals(listed, id, &library.tools, is_pointed);
        let needed = tool
            .range
            .as_ref()
            .is_some_and(|range| rows.needs(&range.value));
        if used.note.is_some()
            || is_pointed(id)
            || needed
            || rows.says(tool, others.into_iter())
            || rows.is_asked_by_notice(tool)
        {
            continue;
        }
        let message = format!("no row uses `{id}`, {}", tool.name.value);
        let help = format!(
            "name it in the row that uses it, take it off the list, or say why it is there: `{{tool: {id}, note: …}}`"
        );
        problems.push(rules::IDLE_TOOL.at(&used.tool.at, message).help(help));
    }
}
