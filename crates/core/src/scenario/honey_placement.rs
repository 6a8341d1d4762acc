//! Honey frame by frame: counted by the keeper, made to agree with the weight of the stores.

use crate::colony::stores::HoneyPlacement;
use crate::stand::HiveBox;

/// Where the honey of every box hangs, once the frames of honey agree with the stores; `by_frame` has for each box the shares of its
/// frames, if the keeper gave them.
pub(super) fn by_frame<'s>(
    by_frame: impl Iterator<Item = Option<&'s [f64]>>,
    boxes: &[HiveBox],
) -> Vec<HoneyPlacement> {
    boxes
        .iter()
        .zip(by_frame)
        .map(|(b, shares)| match shares {
            Some(shares) => {
                let shares = scaled(shares, b.honey_frames);
                HoneyPlacement::InFrames(shares.iter().map(|s| s * b.full_frame).collect())
            }
            None => HoneyPlacement::InBox(b.honey_frames * b.full_frame),
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
