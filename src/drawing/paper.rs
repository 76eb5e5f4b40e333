//! Sheets of paper and rectangles on them. Knows no border and no title block.

use super::At;

/// Sheets of paper.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Paper {
    A4,
    A3,
    A2,
    A1,
    A0,
    Letter,
    Tabloid,
    ArchC,
    ArchD,
}

impl Paper {
    pub const ALL: [Paper; 9] = [
        Paper::A4,
        Paper::A3,
        Paper::A2,
        Paper::A1,
        Paper::A0,
        Paper::Letter,
        Paper::Tabloid,
        Paper::ArchC,
        Paper::ArchD,
    ];

    /// The paper of a name as the spec writes it.
    pub fn named(name: &str) -> Option<Paper> {
        Paper::ALL.into_iter().find(|p| p.name() == name)
    }

    /// As the spec writes it.
    pub const fn name(self) -> &'static str {
        match self {
            Paper::A4 => "a4",
            Paper::A3 => "a3",
            Paper::A2 => "a2",
            Paper::A1 => "a1",
            Paper::A0 => "a0",
            Paper::Letter => "letter",
            Paper::Tabloid => "tabloid",
            Paper::ArchC => "arch-c",
            Paper::ArchD => "arch-d",
        }
    }

    /// As the title block prints it.
    pub const fn label(self) -> &'static str {
        match self {
            Paper::A4 => "A4",
            Paper::A3 => "A3",
            Paper::A2 => "A2",
            Paper::A1 => "A1",
            Paper::A0 => "A0",
            Paper::Letter => "Letter",
            Paper::Tabloid => "Tabloid",
            Paper::ArchC => "Arch C",
            Paper::ArchD => "Arch D",
        }
    }

    /// Long and short side in millimetres. ISO 216; letter and tabloid 8.5 × 11 and 11 × 17 in (ASME Y14.1 sizes A
    /// and B); arch C 18 × 24 and D 24 × 36 in (North American practice).
    pub const fn sides(self) -> (f64, f64) {
        match self {
            Paper::A4 => (297.0, 210.0),
            Paper::A3 => (420.0, 297.0),
            Paper::A2 => (594.0, 420.0),
            Paper::A1 => (841.0, 594.0),
            Paper::A0 => (1189.0, 841.0),
            Paper::Letter => (279.4, 215.9),
            Paper::Tabloid => (431.8, 279.4),
            Paper::ArchC => (609.6, 457.2),
            Paper::ArchD => (914.4, 609.6),
        }
    }

    /// Bound upright and without a grid reference along every side.
    pub const fn is_small(self) -> bool {
        matches!(self, Paper::A4 | Paper::Letter)
    }

    /// Cut from a roll, and so in need of marks where to trim.
    pub const fn is_trimmed(self) -> bool {
        matches!(self, Paper::A2 | Paper::A1 | Paper::A0 | Paper::ArchC | Paper::ArchD)
    }
}

/// A rectangle on paper, in millimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Area {
    pub low: At,
    pub high: At,
}

impl Area {
    pub fn width(&self) -> f64 {
        self.high.0 - self.low.0
    }

    pub fn height(&self) -> f64 {
        self.high.1 - self.low.1
    }

    /// The area without a margin all round.
    pub fn inset(&self, by: f64) -> Area {
        Area { low: (self.low.0 + by, self.low.1 + by), high: (self.high.0 - by, self.high.1 - by) }
    }

    /// The corner from which text and tables hang.
    pub fn upper_left(&self) -> At {
        (self.low.0, self.high.1)
    }
}
