//! placeholder
pub mod boards;
pub mod diagnose;
pub mod drawing;
pub mod files;
pub mod joints;
pub mod length;
pub mod parts;
pub mod shape;
pub mod trade;
pub mod values;
