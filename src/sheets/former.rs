//! What the rows of arrangements and rods were in the state that a set supersedes, so that a figure that changed bears the sign
//! of the revision. Knows rows of lengths by name, and nothing of what made them.

use std::collections::BTreeMap;

use super::sheet::Draft;
use crate::length::Length;

/// The rows of an earlier set.
#[derive(Clone, Debug, Default)]
pub struct Former {
    /// Triangle and letter, to stand behind a figure.
    sign: String,
    /// By the chapter and the name of the row, as dimensions are called: `front right: space 3`.
    rows: BTreeMap<(String, String), Vec<Length>>,
}

impl Former {
    pub fn of(drafts: &[Draft], sign: String) -> Former {
        let mut rows: BTreeMap<(String, String), Vec<Length>> = BTreeMap::new();
        for draft in drafts {
            for dimension in &draft.dimensions {
                let key = (draft.chapter.clone(), row_of(&dimension.what).to_owned());
                rows.entry(key).or_default().push(dimension.value);
            }
        }
        Former { sign, rows }
    }

    /// What stands behind each figure of a row: the sign where the figure is another than before, else nothing. A row that
    /// was not there is new as a whole, and its sheet says so.
    pub fn signs(&self, chapter: &str, row: &str, now: &[Length]) -> Vec<&str> {
        let Some(then) = self.rows.get(&(chapter.to_owned(), row.to_owned())) else {
            return vec![""; now.len()];
        };
        let kept = kept(then, now);
        kept.into_iter().map(|kept| if kept { "" } else { self.sign.as_str() }).collect()
    }
}

/// A row's name: what stands before the number of the member; an overall and the place of a zero are rows of their own.
fn row_of(what: &str) -> &str {
    match what.rsplit_once(": ") {
        Some((row, member)) if member != "overall" && !member.starts_with("zero ") => row,
        _ => what,
    }
}

/// Which members of a row were there before, in the same order: the longest row that both share.
fn kept(then: &[Length], now: &[Length]) -> Vec<bool> {
    let same = |a: Length, b: Length| (a - b).abs() <= Length::TOUCH;
    // longest[i][j]: of the members from i on then and from j on now.
    let mut longest = vec![vec![0_usize; now.len() + 1]; then.len() + 1];
    for i in (0..then.len()).rev() {
        for j in (0..now.len()).rev() {
            longest[i][j] = if same(then[i], now[j]) {
                longest[i + 1][j + 1] + 1
            } else {
                longest[i + 1][j].max(longest[i][j + 1])
            };
        }
    }
    let (mut i, mut j) = (0, 0);
    let mut all = vec![false; now.len()];
    while i < then.len() && j < now.len() {
        if same(then[i], now[j]) {
            all[j] = true;
            (i, j) = (i + 1, j + 1);
        } else if longest[i + 1][j] >= longest[i][j + 1] {
            i += 1;
        } else {
            j += 1;
        }
    }
    all
}
