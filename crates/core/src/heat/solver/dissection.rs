//! Nested dissection of the grid: an elimination order with little fill.

use super::super::network::Network;

/// Boxes of at most this many cells are not cut further.
const LEAF: usize = 12;

/// Nodes in elimination order: boxes are halved by planes of cells, which come after both halves; air nodes come last.
pub(super) fn order(network: &Network) -> Vec<usize> {
    let shape = network.grid().shape();
    let mut order = Vec::with_capacity(network.n());
    dissect(network, [0, 0, 0], shape, &mut order);
    order.extend((0..network.air_nodes().len()).map(|a| network.air_node(a)));
    order
}

fn dissect(network: &Network, lo: [usize; 3], hi: [usize; 3], order: &mut Vec<usize>) {
    let size = [hi[0] - lo[0], hi[1] - lo[1], hi[2] - lo[2]];
    let longest = (0..3).fold(0, |a, b| if size[b] > size[a] { b } else { a });
    if size.iter().product::<usize>() <= LEAF || size[longest] < 3 {
        return list(network, lo, hi, order);
    }
    let cut = lo[longest] + size[longest] / 2;
    let with = |mut corner: [usize; 3], v: usize| {
        corner[longest] = v;
        corner
    };
    dissect(network, lo, with(hi, cut), order);
    dissect(network, with(lo, cut + 1), hi, order);
    list(network, with(lo, cut), with(hi, cut + 1), order);
}

/// Lists a box row by row.
fn list(network: &Network, lo: [usize; 3], hi: [usize; 3], order: &mut Vec<usize>) {
    let grid = network.grid();
    for i in lo[0]..hi[0] {
        for j in lo[1]..hi[1] {
            for k in lo[2]..hi[2] {
                order.extend(network.cell_node(grid.index(i, j, k)));
            }
        }
    }
}
