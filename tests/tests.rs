//! The one test binary: each module a room of tests.

mod formulas;
mod notation;
mod paper;
mod shape;
mod sheets;
mod tidy;
