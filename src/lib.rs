//! Fettlebook turns a folder of Markdown how-to pages with declared figures into a maintenance library: a static,
//! offline site whose torques, fits and settings are declared once and shown wherever they are used.
//!
//! The modules are listed lowest first; each may use only those above it in this list (`tests/tidy.rs` holds them to
//! that). `pipeline` is the whole way in one screenful.

#![forbid(unsafe_code)]

pub mod calculator;
pub mod captions;
pub mod cli;
pub mod commands;
pub mod cues;
pub mod diagnostic;
pub mod disk;
pub mod document;
pub mod edition;
pub mod formula;
pub mod library;
pub mod number;
pub mod pipeline;
pub mod proof;
pub mod quantity;
pub mod search;
pub mod site;
pub mod standards;
pub mod text;
pub mod yaml;
