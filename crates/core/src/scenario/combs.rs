//! Honey frame by frame: counted by the keeper, made to agree with the weight of the stores.

use toml::de::DeValue;

use super::Kind;
use super::boxes::Boxed;
use super::reader::{Reader, Section};
use crate::colony::stores::Hung;
use crate::stand::HiveBox;
use crate::units::format;

/// Frames of honey of a box: `honey_frames = 5`, or a list with the share of each frame, from the left. Gives their sum and
/// the list.
pub(super) fn honey_frames<'a>(
    reader: &mut Reader<'a>,
    section: &Section<'a>,
    frames: u32,
) -> (f64, Option<Vec<f64>>) {
    let key = "honey_frames";
    let Some(node) = section
        .get(key)
        .filter(|n| matches!(n.value, DeValue::Array(_)))
    else {
        let n = reader.number(section, key, key).unwrap_or(0.0);
        return (n, None);
    };
    let items = reader.list(&node);
    if items.len() != frames as usize {
        reader.error(
            &node.span,
            format!("{} has {} frames, but the box has {frames}", node.path, items.len()),
            Some(&format!("{frames} shares from 0 to 1, from the left")),
            Some("1 is a frame full of honey, 0 one without; or give the count of full frames, honey_frames = 5".to_owned()),
        );
        return (0.0, None);
    }
    let shares: Vec<f64> = items
        .iter()
        .filter_map(|n| reader.number_at(n, "honey_frame"))
        .collect();
    if shares.len() != items.len() {
        return (0.0, None);
    }
    let sum: f64 = shares.iter().sum();
    let written: Vec<String> = shares.iter().map(|s| format::trimmed(*s, 2)).collect();
    reader.note(
        &node.path,
        Some(format!("[{}]", written.join(", "))),
        format!("{} full frames", format::trimmed(sum, 2)),
        "share of each frame, from the left; bees reach only what hangs where they sit",
        Kind::Converted,
    );
    (sum, Some(shares))
}

/// Where the honey of every box hangs, once the frames of honey agree with the stores.
pub(super) fn hung(boxed: &[Boxed], boxes: &[HiveBox]) -> Vec<Hung> {
    boxes
        .iter()
        .zip(boxed)
        .map(|(b, given)| match &given.by_frame {
            Some(shares) => Hung::InFrames(
                scaled(shares, b.honey_frames)
                    .iter()
                    .map(|s| s * b.full_frame)
                    .collect(),
            ),
            None => Hung::InBox(b.honey_frames * b.full_frame),
        })
        .collect()
}

/// Shares of frames made to sum up to `full` frames: all less in proportion, or each more by the same part of what it still
/// takes, so that none passes 1.
fn scaled(shares: &[f64], full: f64) -> Vec<f64> {
    let sum: f64 = shares.iter().sum();
    let room = shares.len() as f64 - sum;
    if full <= sum {
        let part = if sum > 0.0 { full / sum } else { 0.0 };
        shares.iter().map(|s| s * part).collect()
    } else {
        let part = if room > 0.0 {
            ((full - sum) / room).min(1.0)
        } else {
            0.0
        };
        shares.iter().map(|s| s + (1.0 - s) * part).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Catches frames that are scaled past full, or to another sum than the stores.
    #[test]
    fn shares_keep_their_sum_and_their_limit() {
        for full in [0.0, 0.5, 1.8, 2.5, 3.0] {
            let s = scaled(&[1.0, 0.8, 0.0], full);
            assert!((s.iter().sum::<f64>() - full).abs() < 1e-12, "{full}");
            assert!(s.iter().all(|x| (0.0..=1.0).contains(x)), "{s:?}");
        }
        assert_eq!(scaled(&[0.0, 0.0], 1.0), [0.5, 0.5]);
    }
}
