//! Who saw what, asked row by row, in plain words.

use std::io;
use std::io::{BufRead, Write};

use skyworthy::workshop::log::{SheetLook, air_said, seen_by_said};

const HELP: &str = "\
Who saw it? most, some, helper (only), alone (you, nobody else looked) or none.
The first letter will do; y is most, n is none. Enter: nobody looked, or nobody
knows. q: enough for now, what was answered is kept. ?: these lines again.
";

/// Asks for each in order and writes down the answers; ends early at `q` or where the answers end.
pub fn ask(
    looks: &mut [&mut SheetLook],
    input: &mut impl BufRead,
    output: &mut impl Write,
) -> io::Result<()> {
    if looks.is_empty() {
        return Ok(());
    }
    writeln!(output, "{} to ask for.\n{HELP}", counted(looks.len()))?;
    let air = answer(
        input,
        output,
        "The air: good, typical, poor? (Enter: nobody judged it) ",
        air_said,
    )?;
    let Some(air) = air else { return Ok(()) };
    let mut heading = String::new();
    for look in looks.iter_mut() {
        let now = format!(
            "{}, {} to {}: {}",
            look.telescope, look.from, look.until, look.target
        );
        let turn = look.row.trim_end_matches(|c: char| c.is_ascii_digit());
        let own = format!("{} {turn}", look.telescope);
        if heading != own {
            writeln!(output, "\n{now}")?;
            heading = own;
        }
        let question = format!("  {} {}? ", look.row, look.name);
        match answer(input, output, &question, seen_by_said)? {
            Some(by) => look.by = by,
            None => return Ok(()),
        }
        if look.by.is_some() {
            look.air = look.air.or(air);
        }
    }
    Ok(())
}

fn counted(n: usize) -> String {
    match n {
        1 => String::from("1 promise"),
        _ => format!("{n} promises"),
    }
}

/// `None`: no more; `Some(None)`: passed over.
fn answer<T>(
    input: &mut impl BufRead,
    output: &mut impl Write,
    question: &str,
    understood: fn(&str) -> Option<T>,
) -> io::Result<Option<Option<T>>> {
    loop {
        write!(output, "{question}")?;
        output.flush()?;
        let mut line = String::new();
        if input.read_line(&mut line)? == 0 {
            writeln!(output)?;
            return Ok(None);
        }
        match (line.trim(), understood(&line)) {
            ("", _) => return Ok(Some(None)),
            (_, Some(answer)) => return Ok(Some(Some(answer))),
            ("q" | "Q", None) => return Ok(None),
            ("?", None) => write!(output, "{HELP}")?,
            (other, None) => writeln!(output, "  `{other}` is not understood; ? explains.")?,
        }
    }
}

#[cfg(test)]
mod tests {
    use skyworthy::workshop::log::{JudgedAir, SeenBy};

    use super::*;

    fn look(telescope: &str, row: &str) -> SheetLook {
        SheetLook {
            telescope: telescope.to_string(),
            row: row.to_string(),
            target: String::from("Jupiter"),
            name: String::from("Great Red Spot"),
            from: String::from("21:00"),
            until: String::from("22:00"),
            by: None,
            air: None,
            note: String::new(),
            eyepiece: None,
            detail: String::from("jupiter_red_spot"),
            at: "2027-02-12T20:30:00Z".parse().expect("an instant"),
        }
    }

    fn asked(answers: &str) -> (Vec<SheetLook>, String) {
        let mut looks = vec![
            look("Rowan", "a1"),
            look("Rowan", "a2"),
            look("Rowan", "b1"),
            look("Hazel", "b1"),
        ];
        let mut output = Vec::new();
        let mut open: Vec<&mut SheetLook> = looks.iter_mut().collect();
        ask(&mut open, &mut answers.as_bytes(), &mut output).expect("memory");
        (looks, String::from_utf8(output).expect("text"))
    }

    fn seen_by(looks: &[SheetLook]) -> Vec<Option<SeenBy>> {
        looks.iter().map(|look| look.by).collect()
    }

    #[test]
    fn each_row_is_asked_for_once() {
        let (looks, said) = asked("poor\ny\n\nHelp\n n \n");
        use SeenBy::{Helper, Most, Nobody};
        assert_eq!(
            seen_by(&looks),
            [Some(Most), None, Some(Helper), Some(Nobody)]
        );
        assert_eq!(looks[0].air, Some(JudgedAir::Poor));
        assert_eq!(looks[1].air, None, "nothing was said of it");
        assert!(said.starts_with("4 promises to ask for.\n"));
        // One heading a turn.
        assert_eq!(
            said.matches("\nRowan, 21:00 to 22:00: Jupiter\n").count(),
            2
        );
        assert_eq!(
            said.matches("\nHazel, 21:00 to 22:00: Jupiter\n").count(),
            1
        );
    }

    #[test]
    fn what_is_not_understood_is_asked_again() {
        let (looks, said) = asked("windy\n\nperhaps\n?\nsome\nq\nmost\n");
        assert_eq!(seen_by(&looks), [Some(SeenBy::Some), None, None, None]);
        assert!(
            said.contains("`windy` is not understood")
                && said.contains("`perhaps` is not understood")
        );
        assert_eq!(said.matches("The first letter will do").count(), 2);
        assert_eq!(said.matches("a1 Great Red Spot? ").count(), 3);
    }

    #[test]
    fn where_answers_end_the_asking_ends() {
        for (answers, want) in [
            ("", None),
            ("good\n", None),
            ("good\nmost", Some(SeenBy::Most)),
        ] {
            let (looks, _) = asked(answers);
            assert_eq!(seen_by(&looks), [want, None, None, None], "{answers:?}");
        }
    }
}
