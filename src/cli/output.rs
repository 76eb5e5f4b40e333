//! Writes a job's files: all of them beside the job's folder first, then the folder is changed for the new one by
//! renaming. A build that fails or is killed leaves the last good one, never a mixture; what somebody else put into
//! the folder stays. A list in the folder says what the program wrote; only that is ever replaced or removed.
//!
//! Steps, each of which may be the last: fill `.NAME.new` · link what is not ours into it · `NAME` → `.NAME.old` ·
//! `.NAME.new` → `NAME` · clear `.NAME.old`. The next build begins with [`Job::recover`], which ends or undoes whatever
//! was begun. A power cut may still lose what the system has not yet put on the disk.

use std::collections::BTreeSet;
use std::fmt;
use std::fs::{self, File as Handle, OpenOptions, TryLockError};
use std::io;
use std::path::{Component, Path, PathBuf};

use crate::File;

/// Name of the list of what the program wrote, inside the job's folder.
pub const LIST: &str = ".tickstick-files";

/// Why nothing was written. The last good build is still there.
#[derive(Debug)]
pub enum OutputError {
    /// The system refused.
    System { doing: &'static str, path: PathBuf, error: io::Error },
    /// Something stands there that the program did not write.
    Foreign(PathBuf),
    /// The job's folder is a link or no folder.
    NoFolder(PathBuf),
    /// Another build writes into the same folder.
    Busy(PathBuf),
    /// A name that would lead out of the folder: a fault of the program.
    Unsafe(String),
}

impl fmt::Display for OutputError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            OutputError::System { doing, path, error } => {
                write!(out, "cannot {doing} {}: {error}", path.display())
            }
            OutputError::Foreign(path) => write!(
                out,
                "{} is in the way and was not written by tickstick; move it away or choose another folder with -o",
                path.display()
            ),
            OutputError::NoFolder(path) => write!(
                out,
                "{} is not a plain folder; move it away or choose another folder with -o",
                path.display()
            ),
            OutputError::Busy(path) => {
                write!(out, "another build is writing into {}; try again when it is done", path.display())
            }
            OutputError::Unsafe(name) => write!(out, "`{}` is no name for a file", name.escape_debug()),
        }
    }
}

impl std::error::Error for OutputError {}

type Done<T> = Result<T, OutputError>;

fn system<T>(doing: &'static str, path: &Path, result: io::Result<T>) -> Done<T> {
    result.map_err(|error| OutputError::System { doing, path: path.to_owned(), error })
}

/// Writes the files into `out/name` and gives that folder.
///
/// # Errors
/// Where anything stands in the way; then nothing has changed.
pub fn write(out: &Path, name: &str, files: &[File]) -> Done<PathBuf> {
    let mut job = Job::new(out, name)?;
    job.recover()?;
    let written = job.change(files);
    if written.is_err() {
        // The first fault is the one to tell; what is left over here is cleared by the next build.
        let _ = job.recover();
    }
    written.map(|()| job.folder)
}

/// A folder's name that is good on every system, from the words of a job; `fallback` where nothing is left of them.
pub fn folder_name(words: &str, fallback: &str) -> String {
    let tidy = |text: &str| {
        let mut name = String::new();
        for c in text.chars().take(80) {
            if c.is_alphanumeric() || matches!(c, '_' | '.') {
                name.extend(c.to_lowercase());
            } else if !name.ends_with('-') {
                name.push('-');
            }
        }
        name.trim_matches(['-', '.']).to_owned()
    };
    let name = Some(tidy(words)).filter(|n| !n.is_empty()).unwrap_or_else(|| tidy(fallback));
    // Names that some systems keep for devices.
    let stem = name.split('.').next().unwrap_or("");
    let device = matches!(stem, "con" | "prn" | "aux" | "nul")
        || (stem.len() == 4 && (stem.starts_with("com") || stem.starts_with("lpt")));
    if name.is_empty() || device { format!("job-{name}").trim_matches('-').to_owned() } else { name }
}

/// The job's folder, and the two that stand beside it while it is changed.
struct Job {
    folder: PathBuf,
    new: PathBuf,
    old: PathBuf,
    /// Held while the job lives, so that two builds cannot mix.
    _lock: Handle,
    /// Called before each step; the tests stop the work there.
    #[cfg(test)]
    before: Box<dyn FnMut(&'static str) -> bool>,
}

impl Job {
    fn new(out: &Path, name: &str) -> Done<Job> {
        if safe(name).is_none_or(|path| path.components().count() != 1) {
            return Err(OutputError::Unsafe(name.to_owned()));
        }
        system("make", out, fs::create_dir_all(out))?;
        let folder = out.join(name);
        match fs::symlink_metadata(&folder) {
            Ok(found) if !found.is_dir() => return Err(OutputError::NoFolder(folder)),
            _ => {}
        }
        let lock_path = out.join(format!(".{name}.lock"));
        let lock = system(
            "open",
            &lock_path,
            OpenOptions::new().create(true).truncate(false).write(true).open(&lock_path),
        )?;
        match lock.try_lock() {
            Ok(()) => {}
            Err(TryLockError::WouldBlock) => return Err(OutputError::Busy(folder)),
            // A file system without locks: then there is no telling.
            Err(TryLockError::Error(_)) => {}
        }
        Ok(Job {
            new: out.join(format!(".{name}.new")),
            old: out.join(format!(".{name}.old")),
            folder,
            _lock: lock,
            #[cfg(test)]
            before: Box::new(|_| true),
        })
    }

    #[cfg(test)]
    fn step(&mut self, name: &'static str) -> Done<()> {
        if (self.before)(name) {
            return Ok(());
        }
        Err(OutputError::System {
            doing: name,
            path: self.folder.clone(),
            error: io::Error::other("stopped"),
        })
    }

    #[cfg(not(test))]
    #[expect(clippy::unnecessary_wraps, clippy::unused_self, reason = "the tests stop the work here")]
    fn step(&mut self, _name: &'static str) -> Done<()> {
        Ok(())
    }

    /// Ends or undoes what an earlier build began: afterwards the folder is whole, and nothing stands beside it.
    fn recover(&mut self) -> Done<()> {
        if exists(&self.old) {
            if exists(&self.folder) {
                self.clear_old()?;
            } else {
                system("restore", &self.folder, fs::rename(&self.old, &self.folder))?;
            }
        }
        if exists(&self.new) {
            // What is not ours is only linked here; the folder still has it.
            system("clear", &self.new, fs::remove_dir_all(&self.new))?;
        }
        Ok(())
    }

    fn change(&mut self, files: &[File]) -> Done<()> {
        self.in_the_way(files)?;
        system("make", &self.new, fs::create_dir(&self.new))?;
        let mut list =
            String::from("Written by tickstick; each build replaces or removes what stands here.\n");
        for file in files {
            self.step("fill")?;
            let path = self.new.join(safe(&file.name).ok_or_else(|| OutputError::Unsafe(file.name.clone()))?);
            if let Some(parent) = path.parent() {
                system("make", parent, fs::create_dir_all(parent))?;
            }
            system("write", &path, fs::write(&path, &file.bytes))?;
            list.push_str(&file.name);
            list.push('\n');
        }
        self.step("list")?;
        let path = self.new.join(LIST);
        system("write", &path, fs::write(&path, list))?;
        if exists(&self.folder) {
            self.step("link")?;
            self.link_foreign()?;
            self.step("put the old aside")?;
            system("put aside", &self.folder, fs::rename(&self.folder, &self.old))?;
        }
        self.step("put the new in")?;
        if let Err(error) = fs::rename(&self.new, &self.folder) {
            return Err(OutputError::System { doing: "put in", path: self.folder.clone(), error });
        }
        if exists(&self.old) {
            self.step("clear the old")?;
            // The new build stands; what cannot be cleared now is cleared by the next.
            let _ = self.clear_old();
        }
        Ok(())
    }

    /// Refuses where a file that is not ours stands in the place of one of the new files or their folders.
    fn in_the_way(&self, files: &[File]) -> Done<()> {
        let foreign = foreign(&self.folder)?;
        for file in files {
            let wanted = safe(&file.name)
                .filter(|path| path != Path::new(LIST))
                .ok_or_else(|| OutputError::Unsafe(file.name.clone()))?;
            for path in &foreign {
                // A foreign folder may stand beside our files but not in their place.
                if wanted.starts_with(path) || path.starts_with(&wanted) {
                    return Err(OutputError::Foreign(self.folder.join(path)));
                }
            }
        }
        Ok(())
    }

    /// Links foreign files into the new folder, so that they are there from the moment it is put in. What cannot be
    /// linked (a foreign link, a file system without hard links) is moved when the old folder is cleared.
    fn link_foreign(&self) -> Done<()> {
        for path in foreign(&self.folder)? {
            let to = self.new.join(&path);
            if let Some(parent) = to.parent() {
                system("make", parent, fs::create_dir_all(parent))?;
            }
            let from = self.folder.join(&path);
            if fs::symlink_metadata(&from).is_ok_and(|found| found.is_file()) {
                let _ = fs::hard_link(from, to);
            }
        }
        Ok(())
    }

    /// Moves what is not ours out of the old folder and removes the rest of it.
    fn clear_old(&mut self) -> Done<()> {
        for path in foreign(&self.old)? {
            let (from, to) = (self.old.join(&path), self.folder.join(&path));
            if exists(&to) {
                // Linked before: the same file under both names. Anything else stays where it is.
                if same_file(&from, &to) {
                    system("clear", &from, fs::remove_file(&from))?;
                }
                continue;
            }
            if let Some(parent) = to.parent() {
                system("make", parent, fs::create_dir_all(parent))?;
            }
            system("move", &from, fs::rename(&from, &to))?;
        }
        let ours = listed(&self.old);
        for path in ours.iter().map(PathBuf::as_path).chain([Path::new(LIST)]) {
            let path = self.old.join(path);
            if plain_way(&self.old, &path) && fs::symlink_metadata(&path).is_ok_and(|found| found.is_file()) {
                system("remove", &path, fs::remove_file(&path))?;
            }
        }
        remove_empty(&self.old);
        Ok(())
    }
}

fn exists(path: &Path) -> bool {
    fs::symlink_metadata(path).is_ok()
}

/// A relative path of plain names; `None` for anything that could lead elsewhere.
fn safe(name: &str) -> Option<PathBuf> {
    let path = PathBuf::from(name);
    let plain = path.components().all(|part| matches!(part, Component::Normal(_)));
    let good = plain
        && !name.is_empty()
        && !name.contains(|c: char| {
            c.is_control() || matches!(c, '\\' | ':' | '<' | '>' | '"' | '|' | '?' | '*')
        });
    good.then_some(path)
}

/// What the list of a folder says is ours.
fn listed(folder: &Path) -> BTreeSet<PathBuf> {
    let list = folder.join(LIST);
    if !fs::symlink_metadata(&list).is_ok_and(|found| found.is_file()) {
        return BTreeSet::new();
    }
    let text = fs::read_to_string(list).unwrap_or_default();
    text.lines().skip(1).filter_map(safe).collect()
}

/// Relative paths of everything in a folder that is not ours: files and links one by one, folders where they are empty
/// and no file of ours was ever in them.
fn foreign(folder: &Path) -> Done<Vec<PathBuf>> {
    let ours = listed(folder);
    let mut found = Vec::new();
    if exists(folder) {
        gather(folder, Path::new(""), &ours, &mut found)?;
    }
    found.sort();
    Ok(found)
}

fn gather(folder: &Path, at: &Path, ours: &BTreeSet<PathBuf>, found: &mut Vec<PathBuf>) -> Done<()> {
    let here = folder.join(at);
    let mut empty = true;
    for entry in system("look into", &here, fs::read_dir(&here))? {
        let entry = system("look into", &here, entry)?;
        empty = false;
        let path = at.join(entry.file_name());
        // Links are not followed: what they lead to is not in this folder.
        let kind = system("look at", &path, entry.file_type())?;
        if kind.is_dir() {
            gather(folder, &path, ours, found)?;
        } else if !(kind.is_file() && (ours.contains(&path) || path == Path::new(LIST))) {
            found.push(path);
        }
    }
    let used = ours.iter().any(|path| path.starts_with(at));
    if empty && !used && at != Path::new("") {
        found.push(at.to_owned());
    }
    Ok(())
}

/// True where no folder between the two is a link.
fn plain_way(from: &Path, to: &Path) -> bool {
    to.ancestors()
        .skip(1)
        .take_while(|path| *path != from)
        .all(|path| fs::symlink_metadata(path).is_ok_and(|found| found.is_dir()))
}

/// True where two names are links to the same file.
fn same_file(one: &Path, other: &Path) -> bool {
    #[cfg(unix)]
    {
        use std::os::unix::fs::MetadataExt;
        match (fs::symlink_metadata(one), fs::symlink_metadata(other)) {
            (Ok(one), Ok(other)) => (one.dev(), one.ino()) == (other.dev(), other.ino()),
            _ => false,
        }
    }
    #[cfg(not(unix))]
    {
        matches!((fs::read(one), fs::read(other)), (Ok(one), Ok(other)) if one == other)
    }
}

/// Removes a folder and those in it as far as they are empty; never a file.
fn remove_empty(folder: &Path) {
    if let Ok(entries) = fs::read_dir(folder) {
        for entry in entries.flatten() {
            if entry.file_type().is_ok_and(|kind| kind.is_dir()) {
                remove_empty(&entry.path());
            }
        }
    }
    let _ = fs::remove_dir(folder);
}

#[cfg(test)]
mod tests {
    use super::*;

    fn files(all: &[(&str, &str)]) -> Vec<File> {
        all.iter()
            .map(|(name, text)| File { name: (*name).to_owned(), bytes: text.as_bytes().to_vec() })
            .collect()
    }

    /// Every file below a folder with its text, the list and the lock left out.
    fn seen(folder: &Path) -> Vec<(String, String)> {
        let mut paths = Vec::new();
        gather(folder, Path::new(""), &BTreeSet::new(), &mut paths).expect("a folder");
        let mut all: Vec<(String, String)> = paths
            .into_iter()
            .map(|path| {
                let text = fs::read_to_string(folder.join(&path)).unwrap_or_else(|_| "(no file)".to_owned());
                (path.to_string_lossy().into_owned(), text)
            })
            .filter(|(path, _)| !path.ends_with(".lock") && !path.ends_with(LIST))
            .collect();
        all.sort();
        all
    }

    fn pairs(all: &[(&str, &str)]) -> Vec<(String, String)> {
        all.iter().map(|(name, text)| ((*name).to_owned(), (*text).to_owned())).collect()
    }

    const FIRST: &[(&str, &str)] = &[("dxf/a.dxf", "1"), ("dxf/b.dxf", "1"), ("job.json", "1")];
    const SECOND: &[(&str, &str)] = &[("dxf/a.dxf", "2"), ("job.json", "2"), ("lists/parts.csv", "2")];

    #[test]
    fn stale_files_go_and_foreign_ones_stay() {
        let out = tempfile::tempdir().expect("a folder");
        let job = write(out.path(), "nook", &files(FIRST)).expect("written");
        fs::write(job.join("dxf/mine.txt"), "note").expect("written");
        fs::create_dir_all(job.join("photos/empty")).expect("made");
        fs::write(job.join("photos/wall.jpg"), "jpg").expect("written");
        write(out.path(), "nook", &files(SECOND)).expect("written again");
        let mut wanted = pairs(SECOND);
        wanted.extend(pairs(&[
            ("dxf/mine.txt", "note"),
            ("photos/empty", "(no file)"),
            ("photos/wall.jpg", "jpg"),
        ]));
        wanted.sort();
        assert_eq!(seen(&job), wanted);
        assert_eq!(seen(out.path()).len(), wanted.len(), "nothing is left beside the job's folder");
    }

    #[test]
    fn a_file_in_the_way_is_never_overwritten() {
        let out = tempfile::tempdir().expect("a folder");
        for (mine, theirs) in [("job.json", "job.json"), ("dxf", "dxf/a.dxf"), ("job.json/x", "job.json")] {
            let job = out.path().join("nook");
            let path = job.join(mine);
            fs::create_dir_all(path.parent().expect("a parent")).expect("made");
            fs::write(&path, "mine").expect("written");
            let error = write(out.path(), "nook", &files(&[(theirs, "1")])).expect_err("refused");
            assert!(matches!(error, OutputError::Foreign(_)), "{error}");
            assert_eq!(seen(&job), pairs(&[(mine, "mine")]));
            fs::remove_dir_all(job).expect("cleared");
        }
    }

    #[test]
    fn a_killed_build_leaves_the_last_good_one() {
        // Stopped before each step in turn; then the folder must be the old or the new one, or stand aside as a whole,
        // and the next build must put everything right.
        let mut stopped_at = Vec::new();
        for stop in 0.. {
            let out = tempfile::tempdir().expect("a folder");
            let folder = write(out.path(), "nook", &files(FIRST)).expect("written");
            fs::write(folder.join("mine.txt"), "note").expect("written");
            let mut job = Job::new(out.path(), "nook").expect("a job");
            let mut left = stop;
            let (tell, told) = std::sync::mpsc::channel();
            job.before = Box::new(move |step| {
                left -= 1;
                if left < 0 {
                    tell.send(step).expect("told");
                }
                left >= 0
            });
            let ended = job.change(&files(SECOND)).is_ok();
            drop(job);
            let with_note = |all: &[(&str, &str)]| {
                let mut all = pairs(all);
                all.extend(pairs(&[("mine.txt", "note")]));
                all.sort();
                all
            };
            let (old, new) = (with_note(FIRST), with_note(SECOND));
            let there = if exists(&folder) { folder.clone() } else { out.path().join(".nook.old") };
            assert!(seen(&there) == old || seen(&there) == new, "stop {stop}: {:?}", seen(&there));

            // What a later look at the folder finds: whole, old or new.
            Job::new(out.path(), "nook").expect("a job").recover().expect("recovered");
            assert!(seen(&folder) == old || seen(&folder) == new, "stop {stop}: {:?}", seen(&folder));
            assert_eq!(seen(out.path()).len(), seen(&folder).len(), "stop {stop}: nothing beside it");

            write(out.path(), "nook", &files(SECOND)).expect("written again");
            assert_eq!(seen(&folder), new, "stop {stop}");
            if ended {
                break;
            }
            stopped_at.extend(told.try_recv());
        }
        assert_eq!(
            stopped_at,
            ["fill", "fill", "fill", "list", "link", "put the old aside", "put the new in", "clear the old"]
        );
    }

    #[test]
    fn a_failed_build_leaves_nothing_beside() {
        let out = tempfile::tempdir().expect("a folder");
        let folder = write(out.path(), "nook", &files(FIRST)).expect("written");
        // The second name would need `job.json` to be a folder.
        let bad = files(&[("job.json", "2"), ("job.json/x", "2")]);
        write(out.path(), "nook", &bad).expect_err("cannot be written");
        assert_eq!(seen(&folder), pairs(FIRST));
        assert_eq!(seen(out.path()).len(), FIRST.len());
    }

    #[test]
    fn two_builds_do_not_mix() {
        let out = tempfile::tempdir().expect("a folder");
        let _first = Job::new(out.path(), "nook").expect("a job");
        assert!(matches!(write(out.path(), "nook", &files(FIRST)), Err(OutputError::Busy(_))));
    }

    #[cfg(unix)]
    #[test]
    fn links_are_never_followed() {
        use std::os::unix::fs::symlink;
        let elsewhere = tempfile::tempdir().expect("a folder");
        fs::write(elsewhere.path().join("a.dxf"), "precious").expect("written");
        let out = tempfile::tempdir().expect("a folder");
        symlink(elsewhere.path(), out.path().join("nook")).expect("linked");
        let error = write(out.path(), "nook", &files(FIRST)).expect_err("refused");
        assert!(matches!(error, OutputError::NoFolder(_)), "{error}");

        // A folder of ours that somebody replaced by a link, and a list that names what lies elsewhere.
        let job = write(out.path(), "den", &files(FIRST)).expect("written");
        fs::remove_dir_all(job.join("dxf")).expect("removed");
        symlink(elsewhere.path(), job.join("dxf")).expect("linked");
        let error = write(out.path(), "den", &files(SECOND)).expect_err("refused");
        assert!(matches!(error, OutputError::Foreign(_)), "{error}");
        let up = format!("x\n../../{}/a.dxf\ndxf/a.dxf\n", elsewhere.path().display());
        fs::write(job.join(LIST), up).expect("written");
        write(out.path(), "den", &files(&[("new.txt", "3")])).expect("written beside the link");
        assert_eq!(seen(elsewhere.path()), pairs(&[("a.dxf", "precious")]));
        assert!(job.join("dxf").is_symlink());
    }

    #[test]
    fn folder_names_are_good_everywhere() {
        for (words, name) in [
            ("LN-07 Listening nook", "ln-07-listening-nook"),
            ("../../etc/passwd", "etc-passwd"),
            ("<script>alert(1)</script>", "script-alert-1-script"),
            ("Küche №3", "küche-3"),
            ("", "spec"),
            ("..", "spec"),
            ("CON", "job-con"),
            ("lpt1.x", "job-lpt1.x"),
        ] {
            assert_eq!(folder_name(words, "spec"), name);
        }
        assert_eq!(folder_name("", ""), "job");
        for bad in ["", "../x", "/x", "a/../b", "a\\b", "a:b", "a\u{7}"] {
            assert_eq!(safe(bad), None, "{bad:?}");
        }
    }
}
