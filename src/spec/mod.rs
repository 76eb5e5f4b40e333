pub mod language;
pub mod node;
pub mod read;
pub mod source;
