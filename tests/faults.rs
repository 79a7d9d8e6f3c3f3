//! What goes wrong around the program while it works: disks that fill up or may not be written, permissions that go, kills
//! at random instants, clocks that are wrong, a second run at the same time. After each, the site that was there is whole, the
//! message says what to do, and the next run leaves no litter. `tests/killed.rs` and `tests/swap.rs` try the same on the module
//! alone, at chosen moments; here it is the program as people run it.

mod support;

#[path = "faults/clocks.rs"]
mod clocks;
#[path = "faults/disks.rs"]
mod disks;
#[path = "faults/kills.rs"]
mod kills;
#[path = "faults/permissions.rs"]
mod permissions;
#[path = "faults/together.rs"]
mod together;
#[path = "faults/workshop.rs"]
mod workshop;
