//! The texts of a job from disk: only those in the folder of the spec or below it, and none that is too large.

use std::fs::{self, File as Handle};
use std::io::{self, ErrorKind, Read};
use std::path::{Path, PathBuf};

use crate::spec::source::MOST_BYTES;
use crate::spec::{SourceError, Sources};

/// The folder of a spec.
#[derive(Debug)]
pub struct Folder {
    /// With every link resolved.
    root: PathBuf,
    /// The spec's own name in it.
    pub spec: String,
    /// The folder as the user typed it, for messages; empty for the current one.
    pub shown: String,
}

impl Folder {
    /// The folder of the spec at `path`. A link to a spec stands for the spec itself.
    ///
    /// # Errors
    /// Where there is no such file, or its name is no text.
    pub fn of(path: &Path) -> io::Result<Folder> {
        let real = path.canonicalize()?;
        if !real.is_file() {
            return Err(io::Error::new(ErrorKind::InvalidInput, "it is no file"));
        }
        let (Some(root), Some(name)) = (real.parent(), real.file_name().and_then(|n| n.to_str())) else {
            return Err(io::Error::new(ErrorKind::InvalidInput, "its name is not UTF-8"));
        };
        // Where the spec is a link, the names shown are those of the folder it leads to.
        let linked = fs::symlink_metadata(path).is_ok_and(|found| found.is_symlink());
        let shown = if linked { Some(root) } else { path.parent() };
        Ok(Folder {
            root: root.to_owned(),
            spec: name.to_owned(),
            shown: shown.map_or_else(String::new, |p| p.to_string_lossy().into_owned()),
        })
    }
}

impl Sources for Folder {
    fn read(&self, path: &str) -> Result<String, SourceError> {
        let real = self.root.join(path).canonicalize().map_err(|error| refused(&error))?;
        if !real.starts_with(&self.root) {
            return Err(SourceError::Outside);
        }
        let found = fs::metadata(&real).map_err(|error| refused(&error))?;
        if !found.is_file() {
            return Err(SourceError::Other("it is no file".to_owned()));
        }
        if found.len() > MOST_BYTES {
            return Err(SourceError::TooLarge(found.len()));
        }
        let mut bytes = Vec::new();
        let file = Handle::open(&real).map_err(|error| refused(&error))?;
        // It may grow while it is read.
        file.take(MOST_BYTES + 1).read_to_end(&mut bytes).map_err(|error| refused(&error))?;
        String::from_utf8(bytes).map_err(|_| SourceError::NotText)
    }
}

fn refused(error: &io::Error) -> SourceError {
    match error.kind() {
        ErrorKind::NotFound | ErrorKind::NotADirectory => SourceError::NotFound,
        _ => SourceError::Other(error.to_string()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_what_lies_below_is_read() {
        let place = tempfile::tempdir().expect("a folder");
        let job = place.path().join("job");
        fs::create_dir_all(job.join("sub")).expect("made");
        fs::write(job.join("spec.yaml"), "a: 1").expect("written");
        fs::write(job.join("sub/b.yaml"), "b: 1").expect("written");
        fs::write(job.join("latin"), b"caf\xe9").expect("written");
        fs::write(place.path().join("secret"), "s").expect("written");
        Handle::create(job.join("large")).and_then(|f| f.set_len(50_000_000)).expect("written");
        let folder = Folder::of(&job.join("spec.yaml")).expect("a spec");
        assert_eq!(folder.spec, "spec.yaml");
        assert_eq!(folder.read("sub/b.yaml"), Ok("b: 1".to_owned()));
        assert_eq!(folder.read("none"), Err(SourceError::NotFound));
        assert_eq!(folder.read("spec.yaml/x"), Err(SourceError::NotFound));
        assert_eq!(folder.read("latin"), Err(SourceError::NotText));
        assert_eq!(folder.read("large"), Err(SourceError::TooLarge(50_000_000)));
        assert_eq!(folder.read("../secret"), Err(SourceError::Outside));
        assert!(matches!(folder.read("sub"), Err(SourceError::Other(_))));
        #[cfg(unix)]
        {
            std::os::unix::fs::symlink(place.path().join("secret"), job.join("link")).expect("linked");
            assert_eq!(folder.read("link"), Err(SourceError::Outside));
            std::os::unix::fs::symlink(job.join("spec.yaml"), place.path().join("job.yaml")).expect("linked");
            let linked = Folder::of(&place.path().join("job.yaml")).expect("a spec");
            assert_eq!(linked.read("sub/b.yaml"), Ok("b: 1".to_owned()));
        }
        assert!(Folder::of(&job).is_err() && Folder::of(&job.join("none.yaml")).is_err());
    }
}
