//! Whether walls, frames, combs and followers fit into a box.

use super::layers;
use super::messages::Slots;
use super::node::Section;
use super::reader::Reader;
use super::values::mm;
use crate::stand::HiveBox;
use crate::units::format;

/// Rounding of lengths, m.
const FIT: f64 = 1e-6;

/// Whether walls, frames, combs and followers fit.
pub(super) fn fits(reader: &mut Reader<'_>, section: &Section<'_>, b: &HiveBox) {
    let wall = layers::thickness(&b.walls);
    let (inner, inner_length) = (b.width - 2.0 * wall, b.length - 2.0 * wall);
    if inner <= 0.0 || inner_length <= 0.0 {
        let [walls, length, width] = [format::length(wall), mm(b.length), mm(b.width)];
        let slots: &Slots<'_> = &[("walls", &walls), ("length", &length), ("width", &width)];
        reader.refuse(&section.span, "walls_too_thick", slots);
        return;
    }
    across(reader, section, b, inner);
    if b.followers > 0 && b.frames == 0 {
        reader.refuse(
            &section.span_of("followers"),
            "followers_without_frames",
            &[],
        );
    }
    if b.frames > 0 {
        for (key, comb, room, way) in [
            ("comb_length", b.comb_length, inner_length, "long"),
            ("comb_height", b.comb_height, b.depth, "high"),
        ] {
            if comb > room + FIT {
                let (comb, room) = (mm(comb), mm(room));
                let slots: &Slots<'_> = &[("comb", &comb), ("room", &room), ("way", &way)];
                reader.refuse(&section.span_of(key), "combs_do_not_fit", slots);
            }
        }
        if b.comb_thickness >= b.pitch {
            let (comb, pitch) = (mm(b.comb_thickness), mm(b.pitch));
            let span = section.span_of("comb_thickness");
            reader.refuse(&span, "no_seam", &[("comb", &comb), ("pitch", &pitch)]);
        }
    }
    if b.honey_frames > f64::from(b.frames) {
        let honey = format::trimmed(b.honey_frames, 2);
        let span = section.span_of("honey_frames");
        reader.refuse(
            &span,
            "honey_beyond_frames",
            &[("honey", &honey), ("frames", &b.frames)],
        );
    }
}

/// Frames, followers and filler beside each other in the width inside.
fn across(reader: &mut Reader<'_>, section: &Section<'_>, b: &HiveBox, inner: f64) {
    let taken = f64::from(b.followers) * b.follower_thickness;
    let used = f64::from(b.frames) * b.pitch;
    let count = |room: f64| ((room + FIT) / b.pitch).floor().max(0.0);
    if used > inner + FIT {
        let (fit, inner, pitch) = (count(inner), mm(inner), mm(b.pitch));
        let slots: &Slots<'_> = &[
            ("frames", &b.frames),
            ("pattern", &b.pattern),
            ("inner", &inner),
            ("fit", &fit),
            ("pitch", &pitch),
        ];
        reader.refuse(&section.span_of("frames"), "frames_do_not_fit", slots);
    } else if b.followers > 0 && used + taken > inner + FIT {
        let (thickness, free, room) = (
            mm(b.follower_thickness),
            mm(inner - used),
            count(inner - taken),
        );
        let slots: &Slots<'_> = &[
            ("followers", &b.followers),
            ("thickness", &thickness),
            ("frames", &b.frames),
            ("free", &free),
            ("room", &room),
        ];
        reader.refuse(&section.span_of("followers"), "followers_do_not_fit", slots);
    } else if b.filler.is_some() && inner - used - taken < 0.005 {
        reader.caution(&section.span_of("filler"), "no_room_for_filler", &[]);
    }
}
