//! Files that programs write: whole or not at all.

use std::fs::Permissions;
use std::io::{self, Write};
use std::path::Path;

use tempfile::NamedTempFile;
use wrackline_files::target::{Target, folder_of, in_words, permissions_of};

/// Writes a file so that it is there whole or not at all: beside the target first, then moved over
/// it. Links are followed to their target; a pipe or a device is written to.
///
/// # Errors
/// What the system refuses, with the path and what to do; the old file is then untouched.
pub fn replace_file(path: &Path, content: &[u8]) -> io::Result<()> {
    let written = Target::of(path).and_then(|target| match target {
        Target::File(path) => replace(&path, content),
        Target::Stream(path) => Target::open_stream(&path)?.write_all(content),
    });
    written.map_err(|error| {
        let what = format!("{}: {}", path.display(), in_words(&error));
        io::Error::new(error.kind(), what)
    })
}

fn replace(path: &Path, content: &[u8]) -> io::Result<()> {
    let folder = folder_of(path);
    clear_away(folder);
    let mut file = beside(path, folder)?;
    file.write_all(content)?;
    file.as_file().sync_all()?;
    file.persist(path)?;
    Ok(())
}

/// How the files begin that are to take the place of others, and how much follows.
const PREFIX: &str = ".wrackline-";
const RANDOM: usize = 8;

/// A file that will take the place of another: readable by whoever could read that one, or a new
/// file of this user. It is locked for as long as somebody writes to it.
fn beside(path: &Path, folder: &Path) -> io::Result<NamedTempFile> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(PREFIX).rand_bytes(RANDOM);
    if let Some(permissions) = permissions_of(path).or_else(of_a_new_file) {
        builder.permissions(permissions);
    }
    loop {
        let file = builder.tempfile_in(folder)?;
        // Before it was locked, another run may have taken it for one that a killed run left
        // behind. Where nothing can be locked, nobody clears anything away.
        let locked = file.as_file().try_lock();
        let taken = matches!(locked, Err(std::fs::TryLockError::WouldBlock));
        if !taken && file.path().exists() {
            return Ok(file);
        }
    }
}

/// The user's own mask takes away from this what it takes away from every new file.
#[cfg(unix)]
fn of_a_new_file() -> Option<Permissions> {
    Some(std::os::unix::fs::PermissionsExt::from_mode(0o666))
}

#[cfg(not(unix))]
fn of_a_new_file() -> Option<Permissions> {
    None
}

/// Removes what runs that were killed left in a folder. A lock ends with the process that held it,
/// so what can be locked belongs to nobody. That something cannot be removed is no reason not to
/// write.
fn clear_away(folder: &Path) {
    let Ok(items) = std::fs::read_dir(folder) else {
        return;
    };
    for item in items.flatten() {
        let name = item.file_name();
        let rest = name.to_str().and_then(|name| name.strip_prefix(PREFIX));
        let ours = rest.is_some_and(|rest| {
            rest.len() == RANDOM && rest.bytes().all(|byte| byte.is_ascii_alphanumeric())
        });
        if !ours || !item.file_type().is_ok_and(|kind| kind.is_file()) {
            continue;
        }
        let Ok(file) = std::fs::File::open(item.path()) else {
            continue;
        };
        if file.try_lock().is_ok() {
            let _ = std::fs::remove_file(item.path());
        }
    }
}

#[cfg(all(test, unix))]
#[allow(
    clippy::unwrap_used,
    reason = "a test fails by panicking, in its helpers too"
)]
mod tests {
    use std::os::unix::fs::PermissionsExt;
    use std::path::Path;

    use super::replace_file;

    fn files(folder: &Path) -> usize {
        std::fs::read_dir(folder).unwrap().count()
    }

    #[test]
    fn a_replaced_file_stays_as_readable_as_it_was() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("card.html");
        let mode = || std::fs::metadata(&path).unwrap().permissions().mode() & 0o777;
        let ordinary = folder.path().join("ordinary");
        std::fs::write(&ordinary, b"").unwrap();
        replace_file(&path, b"one").unwrap();
        assert_eq!(
            mode(),
            std::fs::metadata(&ordinary).unwrap().permissions().mode() & 0o777
        );
        std::fs::set_permissions(&path, std::fs::Permissions::from_mode(0o600)).unwrap();
        replace_file(&path, b"two").unwrap();
        assert_eq!(mode(), 0o600);
        assert_eq!(std::fs::read(&path).unwrap(), b"two");
    }

    #[test]
    fn a_link_stays_and_its_target_is_replaced() {
        let folder = tempfile::tempdir().unwrap();
        let (away, link) = (folder.path().join("away"), folder.path().join("card.html"));
        std::fs::create_dir(&away).unwrap();
        std::os::unix::fs::symlink("away/there.html", &link).unwrap();
        for content in [b"one", b"two"] {
            replace_file(&link, content).unwrap();
            assert!(std::fs::symlink_metadata(&link).unwrap().is_symlink());
            assert_eq!(std::fs::read(away.join("there.html")).unwrap(), content);
        }
        let circle = folder.path().join("circle");
        std::os::unix::fs::symlink("circle", &circle).unwrap();
        assert!(replace_file(&circle, b"").is_err());
        assert!(
            replace_file(&away, b"")
                .unwrap_err()
                .to_string()
                .contains("it is a folder")
        );
        assert_eq!((files(folder.path()), files(&away)), (3, 1));
    }

    #[test]
    fn what_a_killed_run_left_is_cleared_away_and_nothing_else() {
        let folder = tempfile::tempdir().unwrap();
        let at = |name: &str| folder.path().join(name);
        for name in [
            ".wrackline-a1B2c3D4",
            ".wrackline-held0000",
            ".wrackline-notes.md",
        ] {
            std::fs::write(at(name), b"").unwrap();
        }
        std::fs::create_dir(at(".wrackline-folder00")).unwrap();
        let held = std::fs::File::open(at(".wrackline-held0000")).unwrap();
        held.lock().unwrap();
        replace_file(&at("card.html"), b"one").unwrap();
        assert!(!at(".wrackline-a1B2c3D4").exists());
        assert_eq!(files(folder.path()), 4);
    }

    #[test]
    fn a_device_is_written_to_and_stays_one() {
        replace_file(Path::new("/dev/null"), b"one").unwrap();
        assert!(!std::fs::metadata("/dev/null").unwrap().is_file());
    }
}
