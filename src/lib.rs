pub mod diagnose;
pub mod drawing;
pub mod length;
pub mod shape;
pub mod trade;
