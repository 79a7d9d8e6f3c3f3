//! The accessibility rules of axe-core, run in a page. `tests/run` installs it.

use std::path::Path;

use super::browser::Page;

/// What a page does wrong, one line a rule, with the first elements that break it. Every rule is asked, those that are
/// only good practice too.
pub fn violations(page: &Page) -> Vec<String> {
    page.eval(&script());
    let found = page.eval(
        "axe.run(document, {resultTypes: ['violations']}).then(result => result.violations.map(rule =>
            rule.id + ': ' + rule.nodes.slice(0, 3).map(node => node.target + ' ' + node.failureSummary.replace(/\\s+/g, ' ')).join(' | ')))",
    );
    let found = found.as_array().expect("a list").iter();
    found
        .map(|line| line.as_str().expect("a text").to_owned())
        .collect()
}

fn script() -> String {
    let target = Path::new(env!("CARGO_TARGET_TMPDIR"))
        .parent()
        .expect("the target folder");
    let path = target.join("axe/node_modules/axe-core/axe.min.js");
    std::fs::read_to_string(&path).unwrap_or_else(|error| {
        panic!(
            "{}: {error}; tests/run installs axe-core there",
            path.display()
        )
    })
}
