//! The one test binary: each module a room of tests.

mod cases;
mod command;
mod formulas;
mod notation;
mod paper;
mod reference;
mod tidy;
