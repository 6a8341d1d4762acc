//! The pictures inside the page: drawn by this program, named and described for those who do not see them.

use crate::document::Figure;
use crate::pictures::Picture;
use partywall_core::answer::run::RunResult;

/// Kinds of pictures by the start of their name: in which order they come, caption, description.
const KINDS: [(&str, &str, &str); 7] = [
    (
        "cutaway",
        "The hives cut through in the coldest hour of all winters run, the one named above: temperature, bees and honey.",
        CUT,
    ),
    (
        "weakest",
        "The hives cut through in the weakest moment, the one named above: the hour in which the bees had the least heat to spare, which need not be the \
         coldest, since brood must be kept warm.",
        CUT,
    ),
    (
        "surfaces",
        "The inner surfaces in the coldest hour, laid out flat: how cold, and where the bees' water gathers as dew or frost (hatched). \
         Reckoned as if the surfaces had been dry before and wood took up nothing; what is under the lid drips on bees, what is on walls \
         and floor runs off.",
        "Walls, lid and floor of each hive to scale, temperatures as shades, parts below the dew point hatched; the figures stand in words \
         below each",
    ),
    (
        "stores",
        "Honey left in the hive, day by day, over all winters run.",
        "Calendar of honey left in the hive, in kg and lb, with the reserve wanted at first nectar",
    ),
    (
        "strip",
        "The cluster month by month in the winter with the lowest mean temperature: how large, on how many combs, how much honey it \
         touches.",
        "A row of small views, one a month, of combs with the outline of the cluster",
    ),
    (
        "frames",
        "The frames from above on the first day: what each holds and where the bees sit.",
        "Boxes from above to scale, each frame with its honey in kg and lb, clusters outlined",
    ),
    (
        "season",
        "The winter of its weakest moment, the one named above, day by day.",
        "Lines through one winter: temperatures in C and F, honey in kg and lb, brood cells, adult bees",
    ),
];

/// What a cutaway shows, for those who do not see it.
const CUT: &str = "Upright cut through boxes and combs to scale, temperatures as shades with numbers, clusters outlined, honey as zigzag";

/// Puts the pictures in order and makes them ready for the page.
pub fn shown(pictures: &[Picture], r: &RunResult) -> Vec<Figure> {
    let mut out = Vec::new();
    for (kind, caption, told) in KINDS {
        for (i, p) in pictures.iter().enumerate() {
            let mut parts = p.name.split('-');
            if parts.next() != Some(kind) {
                continue;
            }
            let number = parts.next().and_then(|n| n.parse::<usize>().ok());
            let hive = number
                .and_then(|n| r.colonies.get(n.checked_sub(1)?))
                .map_or_else(String::new, |c| format!("{}: ", c.stack));
            out.push(Figure::new(
                p,
                i,
                format!("{hive}{caption}"),
                &format!("{hive}{told}"),
            ));
        }
    }
    out
}
