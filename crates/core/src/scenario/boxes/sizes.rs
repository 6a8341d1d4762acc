//! Sizes of a box: written outside or inside, or those of its pattern; and what a full frame of it holds.

use super::super::Kind;
use super::super::presets::Pattern;
use super::super::reader::{Reader, Section};
use crate::units::format;

/// An outside size, given outside or inside, or from the pattern.
pub(super) fn side<'a>(
    reader: &mut Reader<'a>,
    section: &Section<'a>,
    outside: &str,
    inside: &str,
    two_walls: f64,
    preset: Option<f64>,
) -> Option<f64> {
    let field = if outside == "length" {
        "box_length"
    } else {
        "box_width"
    };
    if section.has(outside)
        && section.has(inside)
        && let Some(at) = section.get(inside)
    {
        reader.error(
            &at.span,
            format!("a box has {outside} or {inside}, not both"),
            Some("one of the two"),
            None,
        );
        return None;
    }
    if section.has(inside) {
        let v = reader.quantity(section, inside, field)? + two_walls;
        reader.note(
            &section.path_of(outside),
            None,
            format::length(v),
            format!("{inside} + two walls"),
            Kind::Converted,
        );
        return Some(v);
    }
    dimension(reader, section, outside, field, preset)
}

/// A size that is written, or that of the pattern.
pub(super) fn dimension<'a>(
    reader: &mut Reader<'a>,
    section: &Section<'a>,
    key: &str,
    field: &str,
    preset: Option<f64>,
) -> Option<f64> {
    if section.has(key) {
        reader.quantity(section, key, field)
    } else {
        preset
    }
}

/// Honey of a full frame: written, that of the pattern for its own comb, or by comb area at 0.30 kg/dm2.
pub(super) fn full_frame<'a>(
    reader: &mut Reader<'a>,
    section: &Section<'a>,
    p: Option<&Pattern>,
    length: f64,
    height: f64,
    some: bool,
) -> f64 {
    if section.has("full_frame") {
        return reader
            .quantity(section, "full_frame", "full_frame")
            .unwrap_or(0.0);
    }
    if !some {
        return 0.0;
    }
    let own_comb = !section.has("comb_length") && !section.has("comb_height");
    if let Some(kg) = p.and_then(|p| p.full_frame).filter(|_| own_comb) {
        reader.note(
            &section.path_of("full_frame"),
            None,
            format::mass(kg),
            "honey of one full frame of this pattern, seen 15 % either way",
            Kind::Default,
        );
        return kg;
    }
    let sigma = reader.fields.get("honey_per_area");
    let kg = sigma.default() * length * height;
    let note = format!(
        "0.30 kg per dm2 of comb, both faces (0.25-0.34): {}",
        sigma.source
    );
    reader.note(
        &section.path_of("full_frame"),
        None,
        format::mass(kg),
        note,
        Kind::Default,
    );
    kg
}
