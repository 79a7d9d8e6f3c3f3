//! What several test files share. Each uses its own part of it.
#![allow(
    dead_code,
    reason = "every test file is compiled with all of this and uses some"
)]

pub mod again;
pub mod axe;
pub mod browser;
pub mod commonmark;
pub mod folders;
pub mod looks;
pub mod nginx;
pub mod paper;
pub mod server;
pub mod tiny_film;
mod wire;
