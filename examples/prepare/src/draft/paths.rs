//! Files that a draft names, seen from where it stands, and what they hold.

use std::path::{Component, Path, PathBuf};

use wrackline_programs::cli::{self, Failure};

/// Why a file must not be written: `None` where there is none yet, and for a pipe or a device,
/// which keeps nothing.
pub(super) fn taken(path: &Path) -> Option<&'static str> {
    let found = std::fs::symlink_metadata(path).ok()?;
    match std::fs::metadata(path) {
        Ok(end) if end.is_dir() => Some("is a folder"),
        Ok(end) if end.is_file() => Some("is there already"),
        // A link that leads nowhere yet.
        Err(_) if found.is_symlink() => Some("is there already"),
        _ => None,
    }
}

/// A path as it can stand in a scenario.
pub(super) fn as_text(path: &Path) -> Result<String, Failure> {
    path.to_str().map(str::to_owned).ok_or_else(|| {
        Failure::input(format!(
            "{}: its name is no text in UTF-8, so a scenario cannot name it; rename it",
            path.display()
        ))
    })
}

/// A path that was given from the working folder, as it is seen from the folder of a draft.
pub(super) fn seen_from(draft: Option<&Path>, path: &str) -> Result<String, Failure> {
    let folder = draft.and_then(Path::parent).unwrap_or(Path::new(""));
    let path = Path::new(path);
    if path.is_absolute() || folder.as_os_str().is_empty() {
        return as_text(path);
    }
    let steps = |path: &Path| -> Option<Vec<std::ffi::OsString>> {
        let steps = path.components().filter(|step| *step != Component::CurDir);
        steps
            .map(|step| match step {
                Component::Normal(name) => Some(name.to_owned()),
                _ => None,
            })
            .collect()
    };
    let (Some(folder), Some(file)) = (steps(folder), steps(path)) else {
        // Ways up, or a folder elsewhere: only the whole path means the same from both.
        return std::path::absolute(path)
            .map_err(Failure::from)
            .and_then(|path| as_text(&path));
    };
    let common = folder.iter().zip(&file).take_while(|(a, b)| a == b).count();
    let up = std::iter::repeat_n("..".into(), folder.len() - common);
    let seen: PathBuf = up.chain(file[common..].iter().cloned()).collect();
    as_text(&seen)
}

/// What an included file holds, as far as a draft must know.
pub(super) struct Included {
    pub(super) port: bool,
    pub(super) subjects: Vec<String>,
}

/// Looks into a file that is to be included. What is wrong with it a plan's reader tells.
pub(super) fn included(path: &Path) -> Result<Included, Failure> {
    let text = cli::text(path)?;
    let table: toml::Table = text.parse().unwrap_or_default();
    let subjects = table.get("subject").and_then(toml::Value::as_array);
    let ids = subjects.into_iter().flatten();
    Ok(Included {
        port: table.contains_key("port"),
        subjects: ids
            .filter_map(|subject| Some(subject.get("id")?.as_str()?.to_owned()))
            .collect(),
    })
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test fails by panicking")]
mod tests {
    use std::path::Path;

    use super::seen_from;

    #[test]
    fn files_are_named_from_where_the_draft_stands() {
        let seen = |draft: &str, path: &str| seen_from(Some(Path::new(draft)), path).unwrap();
        assert_eq!(seen("my-coast.toml", "data/port.toml"), "data/port.toml");
        assert_eq!(seen("data/my-coast.toml", "data/port.toml"), "port.toml");
        assert_eq!(seen("./a/b/c.toml", "a/port.toml"), "../port.toml");
        assert_eq!(seen("/tmp/c.toml", "/srv/port.toml"), "/srv/port.toml");
        assert_eq!(seen_from(None, "port.toml").unwrap(), "port.toml");
        assert!(seen("/tmp/c.toml", "port.toml").ends_with("/port.toml"));
        assert!(Path::new(&seen("../c.toml", "port.toml")).is_absolute());
    }
}
