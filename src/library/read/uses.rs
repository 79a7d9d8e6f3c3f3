//! Reading the lists of a page: parts, tools, consumables and notices that it uses.

use super::applies::applies;
use super::values::part_number;
use crate::library::{Applies, ConsumableUse, NoticeUse, PartUse, ToolUse};
use crate::yaml::{Fields, Problems, id, whole};
use crate::yaml::{Node, Value};

/// A part: its number alone, or with quantity, machines and remarks.
pub fn part(node: &Node, problems: &mut Problems) -> Option<PartUse> {
    if let Value::Text(_) = node.value {
        return Some(PartUse {
            part: part_number(node, problems)?,
            quantity: 1,
            applies: Applies::default(),
            refit: false,
            note: None,
        });
    }
    let fields = Fields::open(
        node,
        "a line of the parts list",
        &["part", "qty", "for", "refit", "note"],
        problems,
    )?;
    let quantity = fields
        .get("qty")
        .map_or(Some(1), |node| whole(node, problems).map(|n| n.value));
    let part = fields
        .need("part", problems)
        .and_then(|node| part_number(node, problems));
    Some(PartUse {
        part: part?,
        quantity: quantity?,
        applies: applies(&fields, problems),
        refit: fields.flag("refit", problems),
        note: fields.text("note", problems),
    })
}

/// A tool: its id alone, or with machines and a remark.
pub fn tool(node: &Node, problems: &mut Problems) -> Option<ToolUse> {
    if let Value::Text(_) = node.value {
        return Some(ToolUse {
            tool: id(node, problems)?,
            applies: Applies::default(),
            note: None,
        });
    }
    let fields = Fields::open(
        node,
        "a line of the tools list",
        &["tool", "for", "note"],
        problems,
    )?;
    let tool = fields
        .need("tool", problems)
        .and_then(|node| id(node, problems));
    Some(ToolUse {
        tool: tool?,
        applies: applies(&fields, problems),
        note: fields.text("note", problems),
    })
}

/// A consumable: its id alone, or with quantity, machines and a remark.
pub fn consumable(node: &Node, problems: &mut Problems) -> Option<ConsumableUse> {
    if let Value::Text(_) = node.value {
        return Some(ConsumableUse {
            consumable: id(node, problems)?,
            quantity: None,
            applies: Applies::default(),
            note: None,
        });
    }
    let known = ["consumable", "qty", "for", "note"];
    let fields = Fields::open(node, "a line of the consumables list", &known, problems)?;
    let consumable = fields
        .need("consumable", problems)
        .and_then(|node| id(node, problems));
    Some(ConsumableUse {
        consumable: consumable?,
        quantity: fields.words("qty", problems),
        applies: applies(&fields, problems),
        note: fields.text("note", problems),
    })
}

/// A notice: its id alone for before the first step, or with the step it guards.
pub fn notice(node: &Node, problems: &mut Problems) -> Option<NoticeUse> {
    if let Value::Text(_) = node.value {
        return Some(NoticeUse {
            notice: id(node, problems)?,
            step: None,
        });
    }
    let fields = Fields::open(node, "a notice of the page", &["notice", "step"], problems)?;
    let notice = fields
        .need("notice", problems)
        .and_then(|node| id(node, problems));
    Some(NoticeUse {
        notice: notice?,
        step: fields.whole("step", problems),
    })
}
