//! Whether walls, frames, combs and followers fit into a box.

use super::boxes::mm;
use super::layers;
use super::reader::{Node, Reader, Section};
use crate::stand::HiveBox;
use crate::units::format;

/// Rounding of lengths, m.
const FIT: f64 = 1e-6;

/// Whether walls, frames, combs and followers fit.
pub(super) fn fits(reader: &mut Reader<'_>, section: &Section<'_>, node: &Node<'_>, b: &HiveBox) {
    let wall = layers::thickness(&b.walls);
    let span = |key: &str| {
        section
            .get(key)
            .map_or_else(|| node.span.clone(), |n| n.span)
    };
    let inner = b.width - 2.0 * wall;
    if inner <= 0.0 || b.length - 2.0 * wall <= 0.0 {
        reader.error(
            &node.span,
            format!(
                "walls of {} leave no room inside a box of {} x {} mm",
                format::length(wall),
                mm(b.length),
                mm(b.width)
            ),
            Some("walls thinner than half the box"),
            None,
        );
        return;
    }
    let taken = f64::from(b.followers) * b.follower_thickness;
    let used = f64::from(b.frames) * b.pitch;
    let fit = (((inner + FIT) / b.pitch).floor()).max(0.0);
    if used > inner + FIT {
        reader.error(
            &span("frames"),
            format!(
                "{} frames do not fit in {}: the box is {} mm wide inside and holds {fit} at {} mm",
                b.frames,
                b.pattern,
                mm(inner),
                mm(b.pitch)
            ),
            Some(&format!("at most {fit} frames")),
            Some("count again, or give the width and spacing you measure".to_owned()),
        );
    } else if b.followers > 0 && used + taken > inner + FIT {
        let room = ((inner + FIT - taken) / b.pitch).floor().max(0.0);
        reader.error(
            &span("followers"),
            format!(
                "no room for {} follower board(s) of {} mm: {} frames leave {} mm free",
                b.followers,
                mm(b.follower_thickness),
                b.frames,
                mm(inner - used)
            ),
            Some(&format!("at most {room} frames beside them")),
            Some("take a frame out or leave the follower out".to_owned()),
        );
    } else if b.filler.is_some() && inner - used - taken < 0.005 {
        reader.warn(
            &span("filler"),
            "there is no space beside the frames for the filler",
            Some("leave it out".to_owned()),
        );
    }
    if b.followers > 0 && b.frames == 0 {
        reader.error(
            &span("followers"),
            "follower boards in a box without frames",
            Some("no followers"),
            None,
        );
    }
    if b.frames > 0 {
        for (key, comb, room, what) in [
            ("comb_length", b.comb_length, b.length - 2.0 * wall, "long"),
            ("comb_height", b.comb_height, b.depth, "high"),
        ] {
            if comb > room + FIT {
                reader.error(
                    &span(key),
                    format!(
                        "the combs of {} mm do not fit: the box is {} mm {what} inside",
                        mm(comb),
                        mm(room)
                    ),
                    Some(&format!("at most {} mm", mm(room))),
                    None,
                );
            }
        }
        if b.comb_thickness >= b.pitch {
            reader.error(
                &span("comb_thickness"),
                format!(
                    "combs of {} mm at a spacing of {} mm leave no seam for bees",
                    mm(b.comb_thickness),
                    mm(b.pitch)
                ),
                Some("combs thinner than their spacing"),
                None,
            );
        }
    }
    if b.honey_frames > f64::from(b.frames) {
        reader.error(
            &span("honey_frames"),
            format!(
                "{} frames of honey in a box of {} frames",
                format::trimmed(b.honey_frames, 2),
                b.frames
            ),
            Some(&format!("at most {}", b.frames)),
            Some("count full frames; two half-full frames are one".to_owned()),
        );
    }
}
