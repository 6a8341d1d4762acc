use super::cutaway::{CutCluster, CutPanel, Cutaway, between_words};
use super::drawing::Item;
use super::frames::{FramePanel, FrameRow, FramesPicture};
use super::plan::{Comb, Rect, Tile};
use super::shades::Shades;
use super::strip::{StripHive, StripPicture};
use super::tests::{both, trace};
use super::{PictureError, cutaway, frames, strip};
use partywall_core::region::{Ball, Region};

/// Outline of a ball between walls.
fn ball([x, z]: [f64; 2], radius: f64, walls: Rect) -> Vec<[f64; 2]> {
    let seat = [x, 0.0, z];
    let region = Region::one([walls[0], [-1.0, 1.0], walls[1]]);
    region.outline(&Ball { seat, radius }, 2, 0.0)
}

/// `n` hives side by side, 0.4 m wide and 0.6 m high; `c` gives the temperature of a tile by its number.
fn panel(n: usize, radius: f64, c: impl Fn(usize) -> f64) -> CutPanel {
    let mut p = CutPanel {
        name: "Together".to_owned(),
        outdoor_c: -28.0,
        ..CutPanel::default()
    };
    for h in 0..n {
        let x0 = 0.43 * h as f64;
        for i in 0..8 {
            for k in 0..12 {
                let (x, z) = (x0 + 0.05 * f64::from(i), 0.05 * f64::from(k));
                p.tiles.push(Tile {
                    at: [[x, x + 0.05], [z, z + 0.05]],
                    c: c(p.tiles.len()),
                });
            }
        }
        for f in 0..10 {
            let x = x0 + 0.03 + 0.034 * f64::from(f);
            p.combs.push(Comb {
                at: [[x, x + 0.025], [0.06, 0.5]],
                honey: vec![([0.06, 0.2], 0.0), ([0.2, 0.4], 0.4), ([0.4, 0.5], 1.0)],
                kg: 1.0,
            });
        }
        p.clusters.push(CutCluster {
            outline: ball(
                [x0 + 0.2, 0.3],
                radius,
                [[x0 + 0.02, x0 + 0.38], [0.05, 0.52]],
            ),
            core_c: 30.0,
            mantle_c: 10.0,
        });
        p.names
            .push((format!("Hive {h} {}", "long ".repeat(20)), [x0, x0 + 0.4]));
        for x in [x0 + 0.06, x0 + 0.34] {
            for z in [0.15, 0.3, 0.45] {
                p.numbers.push(([x, z], -7.0));
            }
        }
        p.edges.push([[x0, x0 + 0.4], [0.0, 0.6]]);
        if h > 0 {
            p.between
                .push((x0 - 0.015, between_words(0.038, Some(-11.0))));
        }
    }
    p
}

fn cut(panels: &[CutPanel]) -> Result<super::drawing::Drawing, PictureError> {
    let picture = Cutaway {
        name: "cutaway",
        title: "Larch Flats: cut through",
        below: "Larch Flats: strong and weak; the coldest hour",
        panels,
    };
    both(|w| cutaway::sheet(&picture, w))
}

/// Catches words cut off or over one another in the cutaway of one to four hives, with clusters small, huge or dead, all
/// temperatures alike, and one panel or two.
#[test]
fn odd_hives_are_cut_without_overlap() {
    for n in 1..=4 {
        for radius in [0.0, 0.02, 0.05, 0.12, 0.5] {
            let varied = panel(n, radius, |i| -28.0 + (i % 37) as f64);
            let flat = panel(n, radius, |_| 5.0);
            for panels in [
                vec![varied.clone()],
                vec![varied.clone(), flat.clone()],
                vec![flat],
            ] {
                cut(&panels).unwrap();
            }
        }
    }
}

/// Catches a temperature, a size or a share that is not a number drawn as if it were one, and an empty panel that is drawn.
#[test]
fn what_is_no_number_is_told_and_not_drawn() {
    let refused = |p: CutPanel| matches!(cut(&[p]), Err(PictureError::Value { .. }));
    let good = || panel(2, 0.1, |_| 1.0);
    for bad in [f64::NAN, f64::INFINITY] {
        assert!(refused(panel(2, 0.1, |i| if i == 50 { bad } else { 1.0 })));
        assert!(refused(CutPanel {
            outdoor_c: bad,
            ..good()
        }));
        let mut p = good();
        p.clusters[1].core_c = bad;
        assert!(refused(p));
        let mut p = good();
        p.clusters[0].outline[3][1] = bad;
        assert!(refused(p));
        let mut p = good();
        p.combs[3].honey[1].1 = bad;
        assert!(refused(p));
        let mut p = good();
        p.numbers[0].1 = bad;
        assert!(refused(p));
        let mut row = row(1, 10);
        row.panels[0].combs[0].kg = bad;
        assert!(matches!(top(&[row]), Err(PictureError::Value { .. })));
        let t = trace(40, |i, _, c| c.radius = if i == 700 { bad } else { 0.1 });
        assert!(matches!(strip_of(&t, 1), Err(PictureError::Value { .. })));
    }
    assert!(matches!(
        cut(&[CutPanel::default()]),
        Err(PictureError::Empty(_))
    ));
    assert!(matches!(cut(&[]), Err(PictureError::Empty(_))));
    assert!(matches!(top(&[]), Err(PictureError::Empty(_))));
    assert!(matches!(
        strip_of(&trace(0, |_, _, _| {}), 1),
        Err(PictureError::Empty(_))
    ));
}

/// Catches shades that do not grow lighter step by step, so that a grey print would mix them up, and values put into a step
/// whose ends do not hold them.
#[test]
fn shades_keep_their_order_in_grey_and_hold_their_values() {
    for (lo, hi) in [(-30.0, 0.0), (-40.0, 35.0), (5.0, 5.0), (0.0, 0.3)] {
        let s = Shades::over([lo, hi].into_iter());
        let grey = |i| {
            let [r, g, b] = s.colour(i).map(f64::from);
            0.299 * r + 0.587 * g + 0.114 * b
        };
        let steps = s.edges.len() - 1;
        for i in 1..steps {
            assert!(
                grey(i) > grey(i - 1) + 8.0,
                "{lo} {hi}: step {i} of {steps}"
            );
        }
        for i in 0..=50 {
            let v = lo + (hi - lo) * f64::from(i) / 50.0;
            let step = s.step(v);
            assert!(s.edges[step] <= v + 1e-9 && v <= s.edges[step + 1] + 1e-9);
        }
    }
    let none = Shades::over(std::iter::empty());
    assert_eq!(none.step(9.0), none.edges.len() - 2);
}

/// Catches a cutaway that is not to scale: hives stretched, or two panels of different size.
#[test]
fn both_panels_are_drawn_to_one_scale() {
    let wide = panel(2, 0.1, |i| i as f64 % 30.0);
    let narrow = panel(1, 0.1, |i| i as f64 % 30.0);
    let d = cut(&[wide, narrow]).unwrap();
    let boxes: Vec<[f64; 2]> = d
        .items
        .iter()
        .filter_map(|item| match item {
            Item::Line(p, s) if p.len() == 5 && s.width == 1.0 => {
                Some([p[2][0] - p[0][0], p[2][1] - p[0][1]])
            }
            _ => None,
        })
        .collect();
    assert_eq!(boxes.len(), 3);
    for b in &boxes {
        assert!((b[0] - boxes[0][0]).abs() < 1e-9 && (b[1] - boxes[0][1]).abs() < 1e-9);
        assert!((b[1] / b[0] - 1.5).abs() < 1e-9, "{b:?}");
    }
}

fn row(n: usize, frames: usize) -> FrameRow {
    FrameRow {
        name: "Top box".to_owned(),
        panels: (0..n)
            .map(|h| {
                let x0 = 0.46 * h as f64;
                FramePanel {
                    hive: "Left".to_owned(),
                    pattern: "ten-frame deep".to_owned(),
                    outer: [[x0, x0 + 0.41], [0.0, 0.505]],
                    inner: [[x0 + 0.02, x0 + 0.39], [0.02, 0.485]],
                    combs: (0..frames)
                        .map(|f| {
                            let x = x0 + 0.04 + 0.036 * f as f64;
                            let stretch = |j| {
                                let y = 0.03 + 0.05 * f64::from(j);
                                ([y, y + 0.05], 0.1 * f as f64)
                            };
                            Comb {
                                at: [[x - 0.0125, x + 0.0125], [0.03, 0.48]],
                                honey: (0..9).map(stretch).collect(),
                                kg: 2.7 * f as f64,
                            }
                        })
                        .collect(),
                    clusters: [([x0 + 0.2, 0.2], 0.15), ([x0 + 0.3, 0.2], 0.1)]
                        .map(|(at, r)| ball(at, r, [[x0 + 0.02, x0 + 0.39], [0.03, 0.48]])),
                }
            })
            .collect(),
    }
}

fn top(rows: &[FrameRow]) -> Result<super::drawing::Drawing, PictureError> {
    let picture = FramesPicture {
        title: "Larch Flats: the frames from above",
        below: "below",
        start: "1 October",
        later: "13 Jan (coldest hour)",
        rows,
    };
    both(|w| frames::sheet(&picture, w))
}

/// Catches overlapping or cut words in the view of the frames: one to four hives, one to four boxes, none to ten frames, combs
/// without honey.
#[test]
fn frames_of_any_number_can_be_read() {
    for n in 1..=4 {
        for boxes in [1, 2, 4] {
            for count in [0, 1, 5, 10] {
                let rows = vec![row(n, count); boxes];
                top(&rows).unwrap();
            }
        }
    }
}

/// Catches the name of a narrow box that is cut off, or that runs over what stands above it.
#[test]
fn a_narrow_box_has_its_whole_name() {
    let mut narrow = row(2, 5);
    narrow.panels[1].outer[0][1] = narrow.panels[1].outer[0][0] + 0.235;
    narrow.panels[1].hive = "Nuc".to_owned();
    narrow.panels[1].pattern = "five-frame deep".to_owned();
    let mut alone = narrow.clone();
    alone.panels.remove(0);
    for rows in [vec![narrow.clone(), narrow], vec![alone.clone(), alone]] {
        let d = top(&rows).unwrap();
        let words: Vec<String> = d.word_boxes().into_iter().map(|(t, _)| t).collect();
        let all = words.join(" ");
        assert!(!all.contains("..."), "{all}");
        assert!(words.iter().any(|w| w.contains("Nuc")), "{all}");
    }
}

fn strip_of(
    t: &partywall_core::season::trace::Trace,
    n: usize,
) -> Result<super::drawing::Drawing, PictureError> {
    let hives: Vec<StripHive> = (0..n)
        .map(|h| StripHive {
            name: format!("Hive {h}"),
            combs: (0..10)
                .map(|f| [[0.036 * f as f64, 0.036 * f as f64 + 0.025], [0.0, 0.2]])
                .collect(),
            region: Region::one([[0.0, 0.36], [0.0, 0.45], [0.0, 0.25]]),
        })
        .collect();
    let picture = StripPicture {
        title: "Larch Flats: the clusters",
        below: "below",
        trace: t,
        hives: &hives,
    };
    both(|w| strip::sheet(&picture, w))
}

/// Catches overlaps in the winter strip: a day, a month, a year; bees that die; no brood; honey beyond all bounds.
#[test]
fn strips_of_any_winter_can_be_read() {
    for days in [1, 31, 231, 366] {
        for kind in 0..3 {
            let t = trace(days, |i, _, c| {
                c.centre = [0.2, 0.2, 0.1];
                match kind {
                    0 => c.in_contact = 0.0,
                    1 if i > 400 => (c.bees, c.radius) = (0.0, 0.0),
                    _ => c.in_contact = 250.0,
                }
            });
            strip_of(&t, 1).unwrap();
        }
    }
}

/// Catches months that mix up mean and coldest day, or count combs the cluster does not reach.
#[test]
fn a_month_tells_mean_and_coldest_day() {
    let t = trace(31, |i, row, c| {
        let day = i / 24;
        row.outdoor_c = if day == 12 { -30.0 } else { -5.0 };
        c.radius = if day == 12 { 0.05 } else { 0.1 };
        c.centre = [0.18, 0.2, 0.1];
    });
    let months = strip::months("x", &t, 0).unwrap();
    assert_eq!(months.len(), 1);
    assert_eq!(months[0].name, "Oct");
    assert!((months[0].radius[0] - (30.0 * 0.1 + 0.05) / 31.0).abs() < 1e-12);
    assert!((months[0].radius[1] - 0.05).abs() < 1e-12);
}
