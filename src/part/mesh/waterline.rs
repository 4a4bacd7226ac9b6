//! Volume, wetted area, centre of buoyancy and waterplane below any level, exactly, from the outer surface.
//!
//! By the divergence theorem with a field that is zero on the plane z = h, the volume below h is the sum over triangles of
//! the integral of (z - h) n_z over the part of each below h; the lid at h adds nothing, so it need not be built. First
//! moments come in the same way from x(z - h), y(z - h) and (z² - h²)/2; waterplane area and moments are the derivatives.
//! Sums over triangles wholly below each slab are made once; a query clips only the triangles that cross its slab.

use super::vector::{Tri, V3, bounds, higher, lower, norm, normal2};

/// The ten integrals over the surface, weighted with n_z, and the plain area.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
struct Sums {
    one: f64,
    x: f64,
    y: f64,
    z: f64,
    xx: f64,
    xy: f64,
    yy: f64,
    xz: f64,
    yz: f64,
    zz: f64,
    area: f64,
}

impl Sums {
    fn add_triangle(&mut self, t: &Tri) {
        let n = normal2(t);
        let flat = n[2] / 2.0;
        let [sx, sy, sz]: V3 = std::array::from_fn(|i| t[0][i] + t[1][i] + t[2][i]);
        // Mean of a product of two linear functions over a triangle: (sum of products + product of sums) / 12.
        let mean = |i: usize, j: usize, si: f64, sj: f64| {
            (t[0][i] * t[0][j] + t[1][i] * t[1][j] + t[2][i] * t[2][j] + si * sj) / 12.0
        };
        self.one += flat;
        self.x += flat * sx / 3.0;
        self.y += flat * sy / 3.0;
        self.z += flat * sz / 3.0;
        self.xx += flat * mean(0, 0, sx, sx);
        self.xy += flat * mean(0, 1, sx, sy);
        self.yy += flat * mean(1, 1, sy, sy);
        self.xz += flat * mean(0, 2, sx, sz);
        self.yz += flat * mean(1, 2, sy, sz);
        self.zz += flat * mean(2, 2, sz, sz);
        self.area += norm(n) / 2.0;
    }

    fn add(&mut self, o: &Sums) {
        self.one += o.one;
        self.x += o.x;
        self.y += o.y;
        self.z += o.z;
        self.xx += o.xx;
        self.xy += o.xy;
        self.yy += o.yy;
        self.xz += o.xz;
        self.yz += o.yz;
        self.zz += o.zz;
        self.area += o.area;
    }
}

/// What is below a level; millimetres, levels above the lowest point, x and y as the surface came.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Below {
    /// Volume below the level.
    pub volume: f64,
    /// Area of the outer surface below the level.
    pub wetted: f64,
    /// Centre of buoyancy; `None` when nothing is below.
    pub centre: Option<V3>,
    /// Area of the cut at the level.
    pub plane_area: f64,
    /// Centre of the cut; `None` when it has no area.
    pub plane_centre: Option<[f64; 2]>,
    /// Second moments of the cut about axes through its centre: x², xy, y², mm⁴.
    pub plane_second: [f64; 3],
}

/// The table of one orientation: upright is +z, the lowest point at 0. The faces of the surface are not kept, since they are
/// the same in all orientations.
#[derive(Debug)]
pub(super) struct Waterline {
    points: Vec<V3>,
    middle: [f64; 2],
    lowest: f64,
    height: f64,
    /// Sums of the triangles wholly at or below the lower end of each slab, and of all at the end.
    below: Vec<Sums>,
    /// Where each slab's triangles begin in `crossing`.
    starts: Vec<u32>,
    crossing: Vec<u32>,
}

impl Waterline {
    /// Builds the table from points as they stand. x and y are kept about the middle of the box, z above the lowest point, so
    /// that a part far from the origin loses nothing.
    pub(super) fn new(mut points: Vec<V3>, faces: &[[u32; 3]]) -> Self {
        let (low, high) = bounds(points.iter().copied()).unwrap_or_default();
        let middle = [f64::midpoint(low[0], high[0]), f64::midpoint(low[1], high[1])];
        for p in &mut points {
            *p = [p[0] - middle[0], p[1] - middle[1], p[2] - low[2]];
        }
        let mut table = Waterline {
            points,
            middle,
            lowest: low[2],
            height: high[2] - low[2],
            below: Vec::new(),
            starts: Vec::new(),
            crossing: Vec::new(),
        };
        table.slabs(faces);
        table
    }

    fn slabs(&mut self, faces: &[[u32; 3]]) {
        // As many slabs as triangles up to 4096, fewer when tall triangles would be listed too often.
        let mut count = faces.len().clamp(1, 4096);
        let allowed = 6 * faces.len();
        // A triangle is listed in at least as many slabs as it is tall: no need to count while that is too much.
        let tall = |t: Tri| higher(higher(t[0][2], t[1][2]), t[2][2]) - lower(lower(t[0][2], t[1][2]), t[2][2]);
        let tall = faces.iter().map(|&f| tall(self.corners(f))).sum::<f64>() / self.height;
        while count as f64 * tall > allowed as f64 && count > 1 {
            count /= 2;
        }
        let mut slabs = self.slabs_of_points(count);
        let listed = |slabs: &[u16]| -> usize {
            faces.iter().map(|f| span(slabs, f)).map(|(first, last)| last - first + 1).sum()
        };
        while listed(&slabs) > allowed && count > 1 {
            count /= 2;
            slabs = self.slabs_of_points(count);
        }
        let mut below = vec![Sums::default(); count + 1];
        // By how much the number of triangles changes from one slab to the next.
        let mut change = vec![0_i32; count + 1];
        for f in faces {
            let (first, last) = span(&slabs, f);
            below[last + 1].add_triangle(&self.corners(*f));
            change[first] += 1;
            change[last + 1] -= 1;
        }
        let mut starts = vec![0_u32; count + 1];
        let mut here = 0;
        for k in 0..count {
            let before = below[k];
            below[k + 1].add(&before);
            here += change[k];
            starts[k + 1] = starts[k] + here as u32;
        }
        let mut crossing = vec![0; starts[count] as usize];
        let mut next = starts.clone();
        for (i, f) in faces.iter().enumerate() {
            let (first, last) = span(&slabs, f);
            for slot in &mut next[first..=last] {
                crossing[*slot as usize] = i as u32;
                *slot += 1;
            }
        }
        (self.below, self.starts, self.crossing) = (below, starts, crossing);
    }

    fn slabs_of_points(&self, count: usize) -> Vec<u16> {
        self.points.iter().map(|p| self.slab(p[2], count) as u16).collect()
    }

    fn slab(&self, z: f64, count: usize) -> usize {
        // A float-to-integer cast saturates; a flat part (height 0) has one slab.
        if self.height > 0.0 { ((z / self.height * count as f64) as usize).min(count - 1) } else { 0 }
    }

    /// The volume below the level, as in [`Waterline::below`], for those who ask for nothing else.
    pub(super) fn volume(&self, faces: &[[u32; 3]], level: f64) -> f64 {
        let h = level.clamp(0.0, self.height);
        let (k, crossing) = self.crossing(faces, h);
        let (mut one, mut z) = (self.below[k].one, self.below[k].z);
        for t in crossing {
            clip(&t, h, |t| {
                let flat = normal2(t)[2] / 2.0;
                one += flat;
                z += flat * (t[0][2] + t[1][2] + t[2][2]) / 3.0;
            });
        }
        z - h * one
    }

    /// The slab that holds the level, and the triangles that reach into it.
    fn crossing(&self, faces: &[[u32; 3]], h: f64) -> (usize, impl Iterator<Item = Tri>) {
        let k = self.slab(h, self.below.len() - 1);
        let crossing = &self.crossing[self.starts[k] as usize..self.starts[k + 1] as usize];
        (k, crossing.iter().map(|&i| self.corners(faces[i as usize])))
    }

    fn corners(&self, face: [u32; 3]) -> Tri {
        face.map(|p| self.points[p as usize])
    }

    /// Everything below the level; levels under the part give nothing, levels over it the whole.
    pub(super) fn below(&self, faces: &[[u32; 3]], level: f64) -> Below {
        let h = level.clamp(0.0, self.height);
        let (k, crossing) = self.crossing(faces, h);
        // The sums of slab k hold the triangles that end before it.
        let mut sums = self.below[k];
        for t in crossing {
            clip(&t, h, |t| sums.add_triangle(t));
        }
        let volume = sums.z - h * sums.one;
        let moment = [sums.xz - h * sums.x, sums.yz - h * sums.y, (sums.zz - h * h * sums.one) / 2.0];
        let centre = (volume > 0.0).then(|| {
            [moment[0] / volume + self.middle[0], moment[1] / volume + self.middle[1], moment[2] / volume + self.lowest]
        });
        // At the very top the lid of the part is below the level, and the cut is what lies just under it: none of it is left.
        let plane_area = (-sums.one).max(0.0);
        let tiny = plane_area <= 1e-14 * sums.area;
        let c = [sums.x / sums.one, sums.y / sums.one];
        Below {
            volume,
            wetted: sums.area,
            centre,
            plane_area,
            plane_centre: (!tiny).then(|| [c[0] + self.middle[0], c[1] + self.middle[1]]),
            plane_second: if tiny {
                [0.0; 3]
            } else {
                [
                    -sums.xx - plane_area * c[0] * c[0],
                    -sums.xy - plane_area * c[0] * c[1],
                    -sums.yy - plane_area * c[1] * c[1],
                ]
            },
        }
    }
}

/// First and last slab a face reaches into, by the slabs of the points.
fn span(slabs: &[u16], face: &[u32; 3]) -> (usize, usize) {
    let [a, b, c] = face.map(|p| usize::from(slabs[p as usize]));
    (a.min(b).min(c), a.max(b).max(c))
}

/// Hands over the part of a triangle at or below the level, as triangles.
fn clip(t: &Tri, h: f64, mut add: impl FnMut(&Tri)) {
    let under = t.map(|p| p[2] <= h);
    match under.iter().filter(|u| **u).count() {
        3 => add(t),
        0 => {}
        n => {
            // Turned so that the corner alone on its side comes first; the winding stays.
            let alone = under.iter().position(|u| *u == (n == 1)).unwrap_or(0);
            let [a, b, c] = [t[alone], t[(alone + 1) % 3], t[(alone + 2) % 3]];
            let (ab, ac) = (crossing(a, b, h), crossing(a, c, h));
            if n == 1 {
                add(&[a, ab, ac]);
            } else {
                add(&[ab, b, c]);
                add(&[ab, c, ac]);
            }
        }
    }
}

/// Where an edge crosses the level; worked from its lower end, so that both triangles beside it find the same point.
fn crossing(a: V3, b: V3, h: f64) -> V3 {
    let (low, high) = if a[2] <= b[2] { (a, b) } else { (b, a) };
    let t = (h - low[2]) / (high[2] - low[2]);
    [low[0] + t * (high[0] - low[0]), low[1] + t * (high[1] - low[1]), h]
}
