//! The only place where files are read and written. Nobody's file is lost or half-written: outputs go to
//! a temporary file beside and are renamed, and an existing file stays unless told otherwise.

use std::io::Write;
use std::path::{Path, PathBuf};
use std::{fs, io};

use skyworthy::workshop::Workshop;

use super::failure::Failure;

/// A workshop file a hundred times longer than any we have seen.
const LARGEST_BYTES: u64 = 1_000_000;

/// The workshop to use, and whether it is the built-in example.
pub fn workshop(given: Option<&Path>) -> Result<(Workshop, bool), Failure> {
    let usual = PathBuf::from("workshop.toml");
    let path = match given {
        Some(path) => path,
        None if usual.is_file() => &usual,
        None => return Ok((skyworthy::workshop::example(), true)),
    };
    let bytes = read(path)?;
    let folder = path.parent().unwrap_or(Path::new("")).to_path_buf();
    let read_beside = |name: &str| {
        let beside = folder.join(name);
        let bytes = read(&beside).map_err(|why| why.to_string())?;
        String::from_utf8(bytes).map_err(|_| Failure::NotText(beside).to_string())
    };
    let workshop = Workshop::from_toml_bytes(&bytes, &path.display().to_string(), &read_beside)
        .map_err(|error| Failure::Workshop(Box::new(error)))?;
    Ok((workshop, false))
}

/// A file that need not be there.
pub fn read_if_there(path: &Path) -> Result<Option<Vec<u8>>, Failure> {
    match fs::metadata(path) {
        Err(why) if why.kind() == io::ErrorKind::NotFound => Ok(None),
        _ => read(path).map(Some),
    }
}

fn read(path: &Path) -> Result<Vec<u8>, Failure> {
    let unreadable = |why| Failure::Unreadable(path.to_path_buf(), why);
    let about = fs::metadata(path).map_err(unreadable)?;
    if about.is_dir() {
        return Err(Failure::Directory(path.to_path_buf()));
    }
    if about.len() > LARGEST_BYTES {
        return Err(Failure::TooLarge(path.to_path_buf(), about.len()));
    }
    fs::read(path).map_err(unreadable)
}

/// Writes a file whole or not at all.
pub fn write_new(path: &Path, bytes: &[u8], overwrite: bool) -> Result<(), Failure> {
    let unwritable = |why| Failure::Unwritable(path.to_path_buf(), why);
    if path.is_dir() {
        return Err(unwritable(io::Error::from(io::ErrorKind::IsADirectory)));
    }
    let folder = match path.parent() {
        Some(folder) if folder != Path::new("") => folder,
        _ => Path::new("."),
    };
    let mut beside = ordinary_file().tempfile_in(folder).map_err(unwritable)?;
    beside.write_all(bytes).map_err(unwritable)?;
    beside.as_file().sync_all().map_err(unwritable)?;
    let renamed = if overwrite {
        beside.persist(path)
    } else {
        beside.persist_noclobber(path)
    };
    match renamed {
        Ok(_) => Ok(()),
        Err(failed) if failed.error.kind() == io::ErrorKind::AlreadyExists => {
            Err(Failure::Exists(path.to_path_buf()))
        }
        Err(failed) => Err(unwritable(failed.error)),
    }
}

/// A temporary file that others may read, as any file a program writes: the umask decides.
fn ordinary_file() -> tempfile::Builder<'static, 'static> {
    let mut builder = tempfile::Builder::new();
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        builder.permissions(fs::Permissions::from_mode(0o666));
    }
    builder
}

/// Makes a folder if it is missing.
pub fn make_folder(path: &Path) -> Result<(), Failure> {
    fs::create_dir_all(path).map_err(|why| Failure::Unwritable(path.to_path_buf(), why))
}

/// Prints an answer. A reader who has seen enough and closed the pipe is no failure.
pub fn print(answer: &[u8]) -> Result<(), Failure> {
    let mut out = io::stdout().lock();
    match out.write_all(answer).and_then(|()| out.flush()) {
        Err(why) if why.kind() != io::ErrorKind::BrokenPipe => Err(Failure::Stdout(why)),
        _ => Ok(()),
    }
}
