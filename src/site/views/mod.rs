//! What each kind of page shows, as data for its template: one file a kind, and the parts they share.
//!
//! A view is as rich as its template needs and no richer. Numbers reach it as text, so that no template rounds.

pub mod asks;
pub mod boards;
pub mod bulletin;
pub mod by_part;
pub mod calculator;
pub mod changes;
pub mod figure;
pub mod film;
pub mod find;
pub mod frame;
pub mod front;
pub mod issues;
pub mod keep;
pub mod lists;
pub mod names;
pub mod part;
pub mod proof;
pub mod ready;
pub mod record;
pub mod rows;
pub mod safety;
pub mod sheet;
pub mod stores;
pub mod tables;
pub mod tags;
pub mod worked;
pub mod working;
