//! Our Markdown against the examples of the CommonMark specification 0.31.2.
//!
//! Every example gives the specified HTML, but for a line break between tags, and but for the differences that the
//! design wants: raw HTML is cleaned. Those are listed by number, so that a new difference shows.

mod support;

use fettlebook::document::commonmark;
use pulldown_cmark::{Event, Parser};
use support::commonmark::examples;

/// "Raw HTML is cleaned": examples in which the writer's own HTML comes out without what could run, load or restyle
/// something, and with its tags closed. Each is one in which the parser finds raw HTML; a test holds the list to that.
const CLEANED: &[usize] = &[
    21, 31, 148, 149, 150, 151, 152, 153, 154, 155, 156, 157, 158, 160, 163, 165, 169, 170, 171,
    172, 173, 174, 175, 176, 177, 178, 179, 180, 181, 182, 183, 184, 187, 190, 191, 201, 308, 309,
    344, 475, 476, 477, 491, 494, 524, 536, 613, 614, 615, 616, 617, 623, 625, 626, 627, 628, 629,
    630, 631, 642, 643,
];

/// The text without line breaks between tags, which mean nothing in HTML.
fn comparable(html: &str) -> String {
    let mut text = html.trim().to_owned();
    while text.contains(">\n<") {
        text = text.replace(">\n<", "><");
    }
    text
}

#[test]
fn the_examples_of_the_specification_hold() {
    let examples = examples();
    assert!(examples.len() >= 652, "only {} examples", examples.len());
    let different: Vec<usize> = examples
        .iter()
        .filter(|example| comparable(&commonmark(&example.markdown)) != comparable(&example.html))
        .map(|example| example.number)
        .collect();
    for number in different.iter().filter(|number| !CLEANED.contains(number)) {
        let example = &examples[number - 1];
        println!(
            "{number}\n{}\n---\n{}\n---\n{}",
            example.markdown,
            example.html,
            commonmark(&example.markdown)
        );
    }
    assert_eq!(different, CLEANED);
    for number in CLEANED {
        let markdown = &examples[number - 1].markdown;
        let raw = Parser::new(markdown)
            .any(|event| matches!(event, Event::Html(_) | Event::InlineHtml(_)));
        assert!(raw, "example {number} holds no raw HTML");
    }
    println!(
        "{} examples, {} cleaned by design",
        examples.len(),
        CLEANED.len()
    );
}
