//! How much a ball holds, and how far one that is to hold so much reaches.

use super::Region;
use super::ball::{FOUND, MOST_STEPS, exit, spiral};
use std::f64::consts::PI;
use std::sync::OnceLock;

/// Rays by which a volume is measured in the seat's room.
const RAYS: usize = 256;
/// Cells by which it is in the others: no larger than this, m (with 40 mm a ball that just reaches into a room was 4 in 100
/// too small).
const GRAIN: f64 = 0.025;

impl Region {
    /// How far a ball about a seat that walls cut reaches, m, if it holds as much as a sphere of the radius `size`.
    pub(super) fn grown(&self, seat: &[f64; 3], size: f64) -> f64 {
        let wanted = 4.0 / 3.0 * PI * size.powi(3);
        let hull = self.hull();
        let most: f64 = hull.iter().map(|r| r[1] - r[0]).sum::<f64>();
        // Cells that it does not reach are of no use, and it rarely grows by more than this.
        let mut far = 1.4 * size;
        let mut volumes = Volumes::of(self, seat, far);
        while volumes.within(far) < wanted && far < most {
            far *= 1.5;
            volumes = Volumes::of(self, seat, far);
        }
        let (mut low, mut high) = (size * (1.0 - FOUND), most);
        if volumes.within(low) >= wanted {
            return size;
        }
        let mut r = 1.1 * size;
        for _ in 0..MOST_STEPS {
            let held = volumes.within(r);
            if held < wanted {
                low = r;
            } else {
                high = r;
            }
            // As if it grew like a sphere with the free surface it has.
            let more = volumes.within(r * 1.001) - held;
            let step = (wanted - held) / more * 0.001 * r;
            let next = r + step;
            r = if more > 0.0 && next > low && next < high {
                next
            } else {
                0.5 * (low + high)
            };
            if step.abs() < FOUND * r || high - low < FOUND * r {
                break;
            }
        }
        r
    }
}

/// How much a ball holds, by its radius.
struct Volumes {
    /// Lengths of the rays in the seat's room, m.
    home: [f64; RAYS],
    /// Cells of the other rooms: way to the middle, m, how far they lie along the way there, m, and volume, m3.
    cells: Vec<(f64, f64, f64)>,
}

impl Volumes {
    /// Of all cells that lie within `far` m as the crow flies.
    fn of(region: &Region, seat: &[f64; 3], far: f64) -> Self {
        let home = region.storey(seat[2]);
        let room = &region.rooms[home];
        let mut cells = Vec::new();
        for (_, room) in region.rooms.iter().enumerate().filter(|r| r.0 != home) {
            let count = room.map(|r| ((r[1] - r[0]) / GRAIN).ceil());
            let side: [f64; 3] = std::array::from_fn(|a| (room[a][1] - room[a][0]) / count[a]);
            let ranges: [std::ops::Range<usize>; 3] = std::array::from_fn(|a| {
                let at = |v: f64| ((v - room[a][0]) / side[a]).clamp(0.0, count[a]);
                at(seat[a] - far).floor() as usize..at(seat[a] + far).ceil() as usize
            });
            let [xs, ys, zs] = ranges;
            for k in zs {
                for j in ys.clone() {
                    for i in xs.clone() {
                        let middle: [f64; 3] = std::array::from_fn(|a| {
                            room[a][0] + ([i, j, k][a] as f64 + 0.5) * side[a]
                        });
                        let way = region.way(seat, &middle);
                        let deep = (0..3).map(|a| way.arrives[a].abs() * side[a]).sum();
                        cells.push((way.length, deep, side.iter().product()));
                    }
                }
            }
        }
        Self {
            home: std::array::from_fn(|i| exit(room, seat, &rays()[i]).0),
            cells,
        }
    }

    /// What a ball of this radius holds, m3: in the seat's room a cone a ray, in the others the parts of the cells its front has passed.
    fn within(&self, radius: f64) -> f64 {
        let cone = 4.0 * PI / (3.0 * RAYS as f64);
        let home: f64 = self.home.iter().map(|l| l.min(radius).powi(3)).sum();
        let passed = |(way, deep, volume): &(f64, f64, f64)| {
            volume * (0.5 + (radius - way) / deep).clamp(0.0, 1.0)
        };
        cone * home + self.cells.iter().map(passed).sum::<f64>()
    }
}

fn rays() -> &'static [[f64; 3]] {
    static RAYS_OF: OnceLock<Vec<[f64; 3]>> = OnceLock::new();
    RAYS_OF.get_or_init(|| spiral(RAYS))
}
