//! The log's file: read as it is, and one look more appended, whole or not at all.
//!
//! A look is one line, added in one piece to the end of the file, while an advisory lock keeps other
//! writers out; it is on the disk before anybody is told so. The system drops the lock when its holder
//! dies. What a killed writer left of a line stays; see [`skyworthy::workshop::log`]. Where the disk is
//! full, the file is cut back to what it was.

use std::fs;
use std::fs::{File, Metadata, OpenOptions};
use std::io;
use std::io::{Read, Write};
use std::path::Path;

use skyworthy::workshop::log::{Log, LoggedLook, addition};

use super::failure::Failure;

/// A lifetime of looks has a few MB.
const LARGEST_BYTES: u64 = 50_000_000;

/// Everything the log says; a log without looks where there is no file.
pub fn read(path: &Path) -> Result<Log, Failure> {
    let unreadable = |why| Failure::LogUnreadable(path.to_path_buf(), why);
    // Before it is opened: a pipe that nobody writes into does not even open.
    match fs::metadata(path) {
        Err(why) if why.kind() == io::ErrorKind::NotFound => return Ok(Log::default()),
        about => refuse_other_than_files(&about.map_err(unreadable)?, path)?,
    }
    let mut file = File::open(path).map_err(unreadable)?;
    // Not in the middle of somebody's line; on a disk that has no locks we take what we get.
    let _ = file.lock_shared();
    let mut bytes = Vec::new();
    file.read_to_end(&mut bytes).map_err(unreadable)?;
    Log::of_bytes(&bytes).map_err(|why| Failure::NotALog(path.to_path_buf(), why))
}

/// Adds one look and returns all that the log says then.
pub fn append(path: &Path, look: &LoggedLook) -> Result<Log, Failure> {
    append_after(path, |_| vec![look.clone()])
}

/// Adds what is chosen once it is known what the log says, all in one piece, and returns all that it says then.
pub fn append_after(
    path: &Path,
    chosen: impl FnOnce(&Log) -> Vec<LoggedLook>,
) -> Result<Log, Failure> {
    let unreadable = |why| Failure::LogUnreadable(path.to_path_buf(), why);
    let is_new = match fs::metadata(path) {
        Ok(about) => refuse_other_than_files(&about, path).map(|()| false)?,
        Err(_) => true,
    };
    let mut options = OpenOptions::new();
    let mut file = (options.read(true).append(true).create(true).open(path))
        .map_err(|why| Failure::NotAdded(path.to_path_buf(), why))?;
    let locked = match file.lock() {
        Err(why) if why.kind() != io::ErrorKind::Unsupported => {
            return Err(Failure::NotAdded(path.to_path_buf(), why));
        }
        outcome => outcome.is_ok(),
    };
    let mut bytes = Vec::new();
    file.read_to_end(&mut bytes).map_err(unreadable)?;
    let not_a_log = |why| Failure::NotALog(path.to_path_buf(), why);
    let looks = chosen(&Log::of_bytes(&bytes).map_err(not_a_log)?);
    let former = bytes.len();
    for look in &looks {
        let more = addition(&bytes, look).map_err(not_a_log)?;
        bytes.extend(more);
    }
    let more = &bytes[former..];
    // Without a lock, somebody else's line may stand behind ours: then nothing is cut.
    let former_len = locked.then_some(former as u64);
    add(&mut file, more, former_len).map_err(|why| Failure::NotAdded(path.to_path_buf(), why))?;
    if is_new {
        keep_name(path);
    }
    Log::of_bytes(&bytes).map_err(not_a_log)
}

/// A pipe has no end, a folder no lines.
fn refuse_other_than_files(about: &Metadata, path: &Path) -> Result<(), Failure> {
    if !about.is_file() {
        let why = io::Error::other("it is no ordinary file");
        return Err(Failure::LogUnreadable(path.to_path_buf(), why));
    }
    if LARGEST_BYTES < about.len() {
        return Err(Failure::TooLarge(path.to_path_buf(), about.len()));
    }
    Ok(())
}

/// What a line is written to: a file, or what tests make of one.
trait Disk {
    /// As [`Write::write`]: perhaps not all of it.
    fn put(&mut self, bytes: &[u8]) -> io::Result<usize>;
    /// Nothing is left in memory only.
    fn settle(&mut self) -> io::Result<()>;
    /// Back to that length.
    fn cut(&mut self, len: u64) -> io::Result<()>;
}

impl Disk for File {
    fn put(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.write(bytes)
    }

    fn settle(&mut self) -> io::Result<()> {
        self.sync_data()
    }

    fn cut(&mut self, len: u64) -> io::Result<()> {
        self.set_len(len)
    }
}

/// All or nothing, as far as the disk allows.
fn add(disk: &mut impl Disk, bytes: &[u8], former_len: Option<u64>) -> io::Result<()> {
    let outcome = put_all(disk, bytes).and_then(|()| disk.settle());
    if outcome.is_err()
        && let Some(len) = former_len
    {
        // Where even this fails, the next look finds the torn line and leaves it alone on its own.
        let _ = disk.cut(len).and_then(|()| disk.settle());
    }
    outcome
}

fn put_all(disk: &mut impl Disk, mut bytes: &[u8]) -> io::Result<()> {
    while !bytes.is_empty() {
        match disk.put(bytes) {
            Ok(0) => return Err(io::ErrorKind::WriteZero.into()),
            Ok(n) => bytes = &bytes[n..],
            Err(why) if why.kind() == io::ErrorKind::Interrupted => {}
            Err(why) => return Err(why),
        }
    }
    Ok(())
}

/// A new file's name is on the disk when its folder is. Where a folder cannot be opened as a file, the
/// system sees to it by itself.
fn keep_name(path: &Path) {
    let folder = match path.parent() {
        Some(folder) if folder != Path::new("") => folder,
        _ => Path::new("."),
    };
    let _ = File::open(folder).and_then(|folder| folder.sync_all());
}

#[cfg(test)]
mod tests {
    use std::process::{Child, Command, Stdio};
    use std::thread::sleep;
    use std::time::Duration;
    use std::{env, fs};

    use skyworthy::workshop::log::SeenBy;

    use super::*;

    fn look(note: &str) -> LoggedLook {
        LoggedLook {
            at: "2027-02-20T20:40:00Z".parse().expect("an instant"),
            telescope: String::from("Heron"),
            detail: String::from("jupiter_north_belt"),
            eyepiece: None,
            by: SeenBy::Most,
            air: None,
            note: note.to_string(),
            promise: None,
        }
    }

    /// A disk that takes so many bytes more, a few at a time.
    struct Full {
        bytes: Vec<u8>,
        room: usize,
        settles: bool,
    }

    impl Disk for Full {
        fn put(&mut self, bytes: &[u8]) -> io::Result<usize> {
            let n = bytes.len().min(self.room).min(7);
            if n == 0 {
                return Err(io::ErrorKind::StorageFull.into());
            }
            self.room -= n;
            self.bytes.extend(&bytes[..n]);
            Ok(n)
        }

        fn settle(&mut self) -> io::Result<()> {
            match self.settles {
                true => Ok(()),
                false => Err(io::ErrorKind::StorageFull.into()),
            }
        }

        fn cut(&mut self, len: u64) -> io::Result<()> {
            self.bytes.truncate(len as usize);
            Ok(())
        }
    }

    #[test]
    fn on_a_full_disk_the_log_is_as_it_was() {
        let before = addition(b"", &look("before")).expect("a new log");
        let more = addition(&before, &look("after")).expect("a log");
        for room in 0..=more.len() + 1 {
            for settles in [true, false] {
                let mut disk = Full {
                    bytes: before.clone(),
                    room,
                    settles,
                };
                let outcome = add(&mut disk, &more, Some(before.len() as u64));
                if more.len() <= room && settles {
                    outcome.expect("there is room");
                    assert_eq!(disk.bytes, [&before[..], &more[..]].concat());
                } else {
                    assert_eq!(
                        outcome.expect_err("no room").kind(),
                        io::ErrorKind::StorageFull
                    );
                    assert_eq!(disk.bytes, before, "room for {room}");
                }
            }
        }
    }

    /// Names the log to a process that does nothing but append to it.
    const LOG_OF_CHILD: &str = "SKYWORTHY_TEST_LOG";

    /// No test of its own: what the children of the tests below do.
    #[test]
    fn child() {
        let Some(path) = env::var_os(LOG_OF_CHILD) else {
            return;
        };
        let name = env::var("SKYWORTHY_TEST_NAME").expect("a name");
        let times: usize =
            env::var("SKYWORTHY_TEST_TIMES").map_or(0, |n| n.parse().expect("a number"));
        for idx in 0..times {
            let note = format!("{name} {idx}, \"with\"\nall that makes a line long");
            append(Path::new(&path), &look(&note)).expect("appended");
        }
    }

    fn child_of(log: &Path, name: &str, times: usize) -> Child {
        Command::new(env::current_exe().expect("this test"))
            .args(["cli::log::tests::child", "--exact"])
            .env(LOG_OF_CHILD, log)
            .env("SKYWORTHY_TEST_NAME", name)
            .env("SKYWORTHY_TEST_TIMES", times.to_string())
            .stdout(Stdio::null())
            .spawn()
            .expect("the test starts")
    }

    #[test]
    fn two_writers_at_once() {
        const TIMES: usize = 200;
        let folder = tempfile::tempdir().expect("a folder");
        let log = folder.path().join("seen.csv");
        let mut children = ["one", "two"].map(|name| child_of(&log, name, TIMES));
        for child in &mut children {
            assert!(child.wait().expect("it ends").success());
        }
        let log = read(&log).expect("a log");
        assert_eq!((log.looks.len(), log.unread.len()), (2 * TIMES, 0));
        for name in ["one", "two"] {
            let of_one = log.looks.iter().filter(|look| look.note.starts_with(name));
            let numbers: Vec<&str> = of_one
                .map(|look| look.note.split([' ', ',']).nth(1).expect("a number"))
                .collect();
            let want: Vec<String> = (0..TIMES).map(|idx| idx.to_string()).collect();
            assert_eq!(numbers, want, "each in its order, none twice");
        }
    }

    #[test]
    fn killed_at_any_moment_it_holds_whole_looks() {
        let folder = tempfile::tempdir().expect("a folder");
        let log = folder.path().join("seen.csv");
        let mut before = Vec::new();
        for round in 0..40u64 {
            let mut child = child_of(&log, &format!("child{round}"), 100_000);
            // Until it writes, and then a moment that is never the same.
            for _ in 0..2000 {
                if fs::metadata(&log).is_ok_and(|about| before.len() < about.len() as usize) {
                    break;
                }
                sleep(Duration::from_millis(1));
            }
            sleep(Duration::from_micros(round * 977 % 7000));
            child.kill().expect("killed");
            child.wait().expect("dead");
            let bytes = fs::read(&log).expect("a log");
            assert!(bytes.starts_with(&before), "what was there is there");
            let mine = look(&format!("after {round}"));
            let all = append(&log, &mine).expect("appended at once: no lock is left behind");
            assert_eq!(all.looks.last(), Some(&mine));
            // Only lines that a kill cut off are no looks, one a round at most.
            assert!(all.unread.len() as u64 <= round + 1);
            before = fs::read(&log).expect("a log");
        }
        let kept = read(&log).expect("a log").looks;
        let after = kept.iter().filter(|look| look.note.starts_with("after"));
        assert_eq!(after.count(), 40);
    }
}
