//! The characters of the notation, in the forms in which keyboards and word processors write them.

/// True for the characters that are read as a minus: hyphen, minus sign, en dash, non-breaking hyphen.
pub(crate) fn is_minus(sign: char) -> bool {
    matches!(sign, '-' | '\u{2212}' | '\u{2013}' | '\u{2011}')
}

/// True for a character that begins a number: a digit, a decimal point or a fraction such as ½.
pub(crate) fn begins_number(first: char) -> bool {
    first.is_ascii_digit() || first == '.' || vulgar(first).is_some()
}

/// True for a single mark: feet, or half of an inch mark typed in two strokes.
pub(super) fn is_foot_mark(mark: char) -> bool {
    matches!(mark, '\'' | '′' | '‘' | '’')
}

/// True for the stroke of a fraction.
pub(super) fn is_stroke(stroke: char) -> bool {
    matches!(stroke, '/' | '\u{2044}' | '\u{2215}')
}

/// The fractions that Unicode has as one character.
pub(super) fn vulgar(fraction: char) -> Option<(i128, i128)> {
    Some(match fraction {
        '½' => (1, 2),
        '⅓' => (1, 3),
        '⅔' => (2, 3),
        '¼' => (1, 4),
        '¾' => (3, 4),
        '⅕' => (1, 5),
        '⅖' => (2, 5),
        '⅗' => (3, 5),
        '⅘' => (4, 5),
        '⅙' => (1, 6),
        '⅚' => (5, 6),
        '⅛' => (1, 8),
        '⅜' => (3, 8),
        '⅝' => (5, 8),
        '⅞' => (7, 8),
        '⅐' => (1, 7),
        '⅑' => (1, 9),
        '⅒' => (1, 10),
        _ => return None,
    })
}
