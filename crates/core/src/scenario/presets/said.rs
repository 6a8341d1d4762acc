//! Names of boxes as keepers say them, "nuc", "10-frame western", "langstroth", and what is to be written for them.

use super::{Presets, count, in_letters, plain};

/// Counts of frames offered where none is said: those of the common boxes.
const USUAL: [u32; 2] = [10, 8];
/// Frames of a nucleus box (trade: four to six, mostly five; both are in the list of widths made).
const NUCLEUS: u32 = 5;

/// What one word of a name says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Word {
    /// That it is a box of the common frame family, and no more.
    Box,
    /// The family by its name.
    Family,
    /// A small box, deep unless said otherwise.
    Nucleus,
    /// One of the depths.
    Depth(&'static str),
    /// A count of frames.
    Count(u32),
    /// A box for brood, deep unless said otherwise.
    Brood,
}

/// The trade's other words for depths (from glossaries of the trade: 9-5/8 in is a hive body, brood box or full depth, 6-5/8 in a
/// medium, western, Illinois or three-quarter super). "Half" is left out, it means two sizes.
fn word(w: &str) -> Option<Word> {
    Some(match w {
        "langstroth" | "lang" | "langs" => Word::Family,
        "nuc" | "nucs" | "nucleus" | "nuke" => Word::Nucleus,
        "deep" | "deeps" | "full" => Word::Depth("deep"),
        "medium" | "mediums" | "western" | "westerns" | "illinois" | "three quarter" | "3/4" => {
            Word::Depth("medium")
        }
        "shallow" | "shallows" => Word::Depth("shallow"),
        "body" | "brood" => Word::Brood,
        "standard" | "box" | "chamber" | "super" | "hive" | "frame" | "depth" | "honey" => {
            Word::Box
        }
        _ => Word::Count(count(w).or_else(|| {
            // "10frame", "10f", "5fr".
            let digits = w.trim_end_matches(|c: char| c.is_alphabetic());
            let rest = w.get(digits.len()..)?;
            matches!(rest, "frame" | "f" | "fr" | "frm")
                .then(|| count(digits))
                .flatten()
        })?),
    })
}

impl Presets {
    /// What to write for a name that is none but made of words of the trade for boxes of the common frame family: the count of frames and
    /// the depth that were said, and the usual ones where they were not. `None` for any other name.
    ///
    /// ```text
    /// "nuc"            -> a nuc box is mostly five frames wide: "five-frame deep"
    /// "10 frame"       -> say how deep it is: "ten-frame deep", "ten-frame medium" or "ten-frame shallow"
    /// "western"        -> say how many frames it is wide: "ten-frame medium" or "eight-frame medium"
    /// ```
    pub(in crate::scenario) fn help_for_trade_name(&self, name: &str) -> Option<String> {
        let plain = plain(name).replace("three quarter", "3/4");
        let words: Vec<Word> = plain.split(' ').map(word).collect::<Option<_>>()?;
        let nucleus = words.contains(&Word::Nucleus);
        let frames = words.iter().find_map(|w| match w {
            Word::Count(n) => Some(*n),
            _ => None,
        });
        let depth = words.iter().find_map(|w| match w {
            Word::Depth(d) => Some(*d),
            _ => None,
        });
        let deep = nucleus || words.contains(&Word::Brood);
        let tells = deep
            || frames.is_some()
            || depth.is_some()
            || words.contains(&Word::Family)
            || plain == "super";
        if !tells {
            return None;
        }
        let depths: Vec<&str> = match depth.or_else(|| deep.then_some("deep")) {
            Some(d) => vec![d],
            None => self
                .frame_family
                .depth
                .iter()
                .map(|d| d.word.as_str())
                .collect(),
        };
        let counts: Vec<u32> = match frames.or_else(|| nucleus.then_some(NUCLEUS)) {
            Some(n) => vec![n],
            None => USUAL.to_vec(),
        };
        let names: Vec<String> = depths
            .iter()
            .flat_map(|d| {
                counts
                    .iter()
                    .map(move |n| format!("\"{}-frame {d}\"", in_letters(*n)))
            })
            .collect();
        let names = either(&names);
        Some(match (frames.is_some(), depths.len() == 1) {
            (true, true) => format!("did you mean {names}?"),
            (true, false) => format!("say how deep it is: {names}"),
            (false, _) if nucleus => format!(
                "a nuc box is mostly five frames wide: did you mean {names}? For another write its count of frames, as in \"four-frame deep\""
            ),
            (false, true) => format!("say how many frames it is wide: {names}"),
            (false, false) => {
                format!("say how many frames it is wide and how deep it is: {names}")
            }
        })
    }
}

/// "a", "a or b", "a, b or c".
fn either(names: &[String]) -> String {
    match names.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} or {last}", rest.join(", ")),
        Some((last, _)) => last.clone(),
        None => String::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Catches a keeper's word for a box that is answered with the list of all names, with a pattern that is not there, or with another
    /// one than the trade means by it; and a word that is no box of this family answered as if it were.
    #[test]
    fn words_of_the_trade_lead_to_a_pattern() {
        let p = Presets::get().unwrap();
        for (said, ends) in [
            ("nuc", "did you mean \"five-frame deep\"? For"),
            ("Nucleus", "did you mean \"five-frame deep\"? For"),
            ("nuc box", "did you mean \"five-frame deep\"? For"),
            ("5-frame nuc", "did you mean \"five-frame deep\"?"),
            ("six frame nucleus", "did you mean \"six-frame deep\"?"),
            ("medium nuc", "did you mean \"five-frame medium\"? For"),
            ("deep", "wide: \"ten-frame deep\" or \"eight-frame deep\""),
            (
                "langstroth deep",
                "wide: \"ten-frame deep\" or \"eight-frame deep\"",
            ),
            (
                "hive body",
                "wide: \"ten-frame deep\" or \"eight-frame deep\"",
            ),
            (
                "brood box",
                "wide: \"ten-frame deep\" or \"eight-frame deep\"",
            ),
            (
                "medium",
                "wide: \"ten-frame medium\" or \"eight-frame medium\"",
            ),
            (
                "western",
                "wide: \"ten-frame medium\" or \"eight-frame medium\"",
            ),
            (
                "Illinois super",
                "wide: \"ten-frame medium\" or \"eight-frame medium\"",
            ),
            (
                "3/4 super",
                "wide: \"ten-frame medium\" or \"eight-frame medium\"",
            ),
            ("10-frame western", "did you mean \"ten-frame medium\"?"),
            (
                "10 frame langstroth deep",
                "did you mean \"ten-frame deep\"?",
            ),
            ("8f medium", "did you mean \"eight-frame medium\"?"),
            (
                "8 frame",
                "deep it is: \"eight-frame deep\", \"eight-frame medium\" or \"eight-frame shallow\"",
            ),
        ] {
            assert!(p.pattern(said).is_none(), "{said}");
            let help = p.help_for_trade_name(said).unwrap_or_default();
            assert!(help.contains(ends), "{said}: {help}");
            // What is named is there.
            for name in help.split('"').skip(1).step_by(2) {
                assert!(p.pattern(name).is_some(), "{said}: {name}");
            }
        }
        // Known as they are, or none of this family.
        assert_eq!(p.pattern("10 frame deep").unwrap().name, "ten-frame deep");
        assert_eq!(p.pattern("national").unwrap().name, "National-type brood");
        for other in [
            "barrel",
            "box",
            "99-frame deep",
            "ten-frame deap",
            "warre",
            "",
        ] {
            assert_eq!(p.help_for_trade_name(other), None, "{other}");
        }
    }
}
