//! A whole log: its looks, its lines that are none, and what to append for one look more.
//!
//! A log only ever grows. Where its last line was cut off (a flat battery, a full disk), the next addition
//! begins with a line break, so that what is there of it stays, alone on its line, and is reported
//! from then on as a line that is no look.

use serde::Serialize;

use std::fmt;

use super::LoggedLook;
use super::line::Layout;

/// Everything a log says.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Log {
    /// In the file's order.
    pub looks: Vec<LoggedLook>,
    /// Lines that are no looks: cut off, or changed by hand into something else.
    pub unread: Vec<Unread>,
}

/// A line that is no look.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Unread {
    /// Counted from 1.
    pub line: usize,
    /// What is wrong with it.
    pub why: String,
}

/// The file does not begin like a log.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NotALog;

impl std::error::Error for NotALog {}

impl fmt::Display for NotALog {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "its first line does not name the columns at_utc, telescope, detail and by"
        )
    }
}

impl Log {
    /// Reads a log; an empty file is a log without looks.
    pub fn of_bytes(bytes: &[u8]) -> Result<Log, NotALog> {
        let mut log = Log::default();
        let Some(layout) = layout(bytes)? else {
            return Ok(log);
        };
        let lines = bytes.split(|byte| *byte == b'\n').enumerate().skip(1);
        for (idx, line) in lines {
            if line.trim_ascii().is_empty() {
                continue;
            }
            match layout.look(line) {
                Ok(look) => log.looks.push(look),
                Err(why) => log.unread.push(Unread { line: idx + 1, why }),
            }
        }
        Ok(log)
    }
}

/// What to append to a file of those bytes, in one piece, so that it holds one look more. Never asks for
/// anything to be taken away.
pub fn addition(existing: &[u8], look: &LoggedLook) -> Result<Vec<u8>, NotALog> {
    let Some(layout) = layout(existing)? else {
        // Nothing yet, or the beginning of the first line.
        let usual = Layout::usual();
        let mut bytes = usual.head().split_off(existing.len());
        bytes.extend(usual.line(look));
        return Ok(bytes);
    };
    let mut bytes = mending(existing, &layout);
    bytes.extend(layout.line(look));
    Ok(bytes)
}

/// `None` where there is nothing yet, or not even the whole first line.
fn layout(bytes: &[u8]) -> Result<Option<Layout>, NotALog> {
    if Layout::usual().head().starts_with(bytes) && !bytes.ends_with(b"\n") {
        return Ok(None);
    }
    let head = bytes.split(|byte| *byte == b'\n').next();
    head.and_then(Layout::of_head).map(Some).ok_or(NotALog)
}

/// What ends a last line that has no end: nothing where it has one.
fn mending(existing: &[u8], layout: &Layout) -> Vec<u8> {
    let last = existing.rsplit(|byte| *byte == b'\n').next();
    let last = last.unwrap_or_default();
    if last.is_empty() {
        return Vec::new();
    }
    let is_only_line = last.len() == existing.len();
    let is_open = last.iter().filter(|byte| **byte == b'"').count() % 2 == 1;
    // An open quotation would swallow the rest of the log in a spreadsheet.
    match is_open && !is_only_line && layout.look(last).is_err() {
        true => b"\"\n".to_vec(),
        false => b"\n".to_vec(),
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::workshop::log::{JudgedAir, Margins, Promise, PromisedGrade, SeenBy};

    fn look(note: &str) -> LoggedLook {
        LoggedLook {
            at: "2027-02-20T20:40:00Z".parse().expect("an instant"),
            telescope: String::from("Heron, \"the old\" one"),
            detail: String::from("jupiter_north_belt"),
            eyepiece: Some(String::from("10 mm")),
            by: SeenBy::Some,
            air: Some(JudgedAir::Poor),
            note: note.to_string(),
            promise: Some(Promise {
                grade: PromisedGrade::Patient,
                seeing_arcsec: 3.5,
                observer_dex: -0.05,
                margins: Some(Margins {
                    margin_dex: 0.412,
                    steadier_dex: 0.6,
                    rougher_dex: -0.101,
                    doubt_dex: 0.08,
                }),
            }),
        }
    }

    fn absent() -> LoggedLook {
        let mut look = look("");
        look.promise = Some(Promise {
            grade: PromisedGrade::Absent,
            seeing_arcsec: 2.2,
            observer_dex: 0.0,
            margins: None,
        });
        look
    }

    fn log_of(looks: &[LoggedLook]) -> Vec<u8> {
        looks.iter().fold(Vec::new(), |mut bytes, look| {
            bytes.extend(addition(&bytes, look).expect("a log"));
            bytes
        })
    }

    #[test]
    fn a_new_log_in_full() {
        let want = "at_utc,telescope,detail,eyepiece,by,air,note,seeing_arcsec,margin_dex,margin_steadier_dex,\
             margin_rougher_dex,doubt_dex,observer_margin_dex,grade\n\
             2027-02-20T20:40:00Z,\"Heron, \"\"the old\"\" one\",jupiter_north_belt,10 mm,some,poor,\
             '=1+1\\na second line,3.500,0.412,0.600,-0.101,0.080,-0.050,patient\n";
        let got = log_of(&[look("=1+1\na second line")]);
        assert_eq!(String::from_utf8(got).expect("text"), want);
    }

    #[test]
    fn cut_off_between_any_two_bytes_nothing_but_the_last_line_suffers() {
        for last in [look("fine, \"really\"\n\u{e9}t\u{e9}"), absent(), look("")] {
            let before = [look("first"), absent()];
            let whole = log_of(&[before[0].clone(), before[1].clone(), last.clone()]);
            let first_two = log_of(&before).len();
            for cut in 0..=whole.len() {
                let torn = &whole[..cut];
                let after = look("after");
                let mut bytes = torn.to_vec();
                bytes.extend(addition(torn, &after).expect("a torn log is a log"));
                assert!(bytes.starts_with(torn), "cut at {cut}: nothing is lost");
                let log = Log::of_bytes(&bytes).expect("a log");
                assert_eq!(log.looks.last(), Some(&after), "cut at {cut}");
                let n_before = log.looks.len() - 1;
                let all = [before[0].clone(), before[1].clone(), last.clone()];
                assert_eq!(log.looks[..n_before], all[..n_before], "cut at {cut}");
                if first_two <= cut {
                    let is_whole = whole.len() - 1 <= cut;
                    assert_eq!(n_before, if is_whole { 3 } else { 2 }, "cut at {cut}");
                    let torn_lines = usize::from(!is_whole && first_two < cut);
                    assert_eq!(log.unread.len(), torn_lines, "cut at {cut}");
                }
                // Any reader of CSV gets along with it: no quotation is left open.
                let quotes = bytes.iter().filter(|byte| **byte == b'"').count();
                assert_eq!(quotes % 2, 0, "cut at {cut}");
            }
        }
    }

    #[test]
    fn a_log_that_went_through_a_spreadsheet() {
        let saved = "\u{feff}note;by;detail;telescope;at_utc;mine;grade;seeing_arcsec;margin_dex;\
             margin_steadier_dex;margin_rougher_dex\r\n\
             '-5 degrees;Some;jupiter_north_belt;Heron;2027-02-20 20:40:00;x;patient;3,5;0,412;0,6;-0,101\r\n\
             ;none;saturn_cassini;Heron;2027-02-20 20:50;;;;;;";
        let log = Log::of_bytes(saved.as_bytes()).expect("a log");
        assert_eq!(log.unread, []);
        assert_eq!(log.looks[0].note, "-5 degrees");
        assert_eq!(log.looks[0].at, look("").at);
        let margins = log.looks[0].promise.and_then(|promise| promise.margins);
        assert_eq!(margins.map(|margins| margins.rougher_dex), Some(-0.101));
        assert_eq!(log.looks[1].promise, None);

        let mut bytes = saved.as_bytes().to_vec();
        bytes.extend(addition(&bytes, &look("more; even")).expect("a log"));
        let log = Log::of_bytes(&bytes).expect("a log");
        assert_eq!((log.looks.len(), log.unread.len()), (3, 0));
        assert_eq!(log.looks[2].note, "more; even");
        assert_eq!(log.looks[2].air, None, "that log has no column for it");
        let margins = log.looks[2].promise.and_then(|promise| promise.margins);
        assert_eq!(margins.map(|margins| margins.margin_dex), Some(0.412));
    }

    #[test]
    fn lines_that_are_no_looks_are_named_with_the_reason() {
        let mut text = String::from_utf8(log_of(&[look("")])).expect("text");
        text.push_str("2027-02-20T20:40:00Z,Heron,jupiter_north_belt\n");
        text.push_str("yesterday,Heron,jupiter_north_belt,,most,,,,,,,,,\n\n");
        text.push_str("2027-02-20T20:40:00Z,Heron,jupiter_north_belt,,many,,,,,,,,,\n");
        text.push_str("2027-02-20T20:40:00Z,Heron,jupiter_north_belt,,most,,,2.2,x,,,,,plain\n");
        text.push_str("2027-02-20T20:40:00Z,Heron,jupiter_north_belt,,most,,,2.2,,,,,,\n");
        let log = Log::of_bytes(text.as_bytes()).expect("a log");
        assert_eq!(log.looks.len(), 1);
        let lines: Vec<usize> = log.unread.iter().map(|unread| unread.line).collect();
        assert_eq!(lines, [3, 4, 6, 7, 8]);
        for (unread, part) in log.unread.iter().zip([
            "3 of 14 columns",
            "no instant like 2027",
            "none of most, some, helper, alone, none",
            "margin_dex is no number",
            "not whole",
        ]) {
            assert!(unread.why.contains(part), "{unread:?}");
        }
    }

    #[test]
    fn other_files_are_not_taken_for_logs() {
        for text in ["[site]\nname = 1\n", "a,b,c\n1,2,3\n", "\n", "\0\0\0"] {
            assert_eq!(Log::of_bytes(text.as_bytes()), Err(NotALog), "{text:?}");
            assert_eq!(addition(text.as_bytes(), &look("")), Err(NotALog));
        }
        assert_eq!(Log::of_bytes(b""), Ok(Log::default()));
    }

    proptest! {
        #[test]
        fn whatever_is_noted_comes_back_and_is_no_formula(
            note in "[-=+@'\"\\\\,;\n\r\t a-z\u{ff1d}\u{e9}]{0,12}",
            name in "[-=+@'\"\\\\,; a-z]{0,6}[a-z]",
        ) {
            let mut wanted = look(note.trim());
            wanted.telescope = name.trim().to_string();
            let bytes = log_of(&[wanted.clone(), look("next")]);
            let log = Log::of_bytes(&bytes).expect("a log");
            prop_assert_eq!(&log.unread, &[]);
            prop_assert_eq!(&log.looks[0], &wanted);
            prop_assert_eq!(&log.looks[1], &look("next"));
            for record in csv::Reader::from_reader(&bytes[..]).records() {
                let record = record.expect("any reader of CSV understands it");
                for field in record.iter() {
                    let runs = field.trim_start().starts_with(['=', '+', '-', '@', '\u{ff1d}']);
                    prop_assert!(!runs || field.parse::<f64>().is_ok(), "{}", field);
                }
            }
        }

        #[test]
        fn no_bytes_bring_it_down(bytes in proptest::collection::vec(any::<u8>(), 0..300)) {
            let mut all = log_of(&[look("")]);
            all.extend(bytes);
            let log = Log::of_bytes(&all).expect("its first line is whole");
            prop_assert_eq!(&log.looks[0], &look(""));
            let more = addition(&all, &look("after")).expect("a log");
            all.extend(more);
            let log = Log::of_bytes(&all).expect("a log");
            prop_assert_eq!(log.looks.last(), Some(&look("after")));
        }
    }
}
