//! Parts, tools and consumables: what a page lists against what its rows use, and which machines each is for.

mod asked;
mod context;
pub mod dead_number;
pub mod ghost_tool;
pub mod idle_tool;
mod lists;
mod names;
pub mod no_hull;
mod pointers;
pub mod short_kit;
pub mod spare_part;
pub mod stray_part;
pub mod twin_number;
mod used;
pub mod wrong_hull;
