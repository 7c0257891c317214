//! Sums over bed cells: the wrench, and the tangent in four 3 × 3 blocks, in bed axes.
//!
//! A cell with the force f(x) at the arm r from the moved reference point and the tangent
//! `K = ∂f/∂x` adds `K`, `−K [r]×`, `[r]× K` and `−[r]× K [r]× + [f]× [r]×`. Cells that stick share
//! `K = −diag(k_t, k_t, k_n)` per area, so for them it is enough to sum area, area·r and area·r⊗r.

use crate::math::{Mat3, Vec3, cross};

/// The sums.
#[derive(Debug, Clone)]
pub(super) struct BedSum {
    /// Force, N.
    pub force: Vec3,
    /// Moment about the moved reference point, N·mm.
    pub moment: Vec3,
    arm_force: Mat3,
    stuck_area: f64,
    stuck_arm: Vec3,
    stuck_square: [f64; 6],
    blocks: [Mat3; 4],
}

impl Default for BedSum {
    fn default() -> Self {
        Self {
            force: Vec3::zeros(),
            moment: Vec3::zeros(),
            arm_force: Mat3::zeros(),
            stuck_area: 0.0,
            stuck_arm: Vec3::zeros(),
            stuck_square: [0.0; 6],
            blocks: [Mat3::zeros(); 4],
        }
    }
}

impl BedSum {
    #[inline]
    fn load(&mut self, arm: &Vec3, force: &Vec3) {
        self.force += force;
        self.moment += arm.cross(force);
        self.arm_force += arm * force.transpose();
    }

    /// Adds a cell that sticks.
    #[inline]
    pub fn stick(&mut self, arm: &Vec3, force: &Vec3, area: f64) {
        self.load(arm, force);
        self.stuck_area += area;
        let scaled = arm * area;
        self.stuck_arm += scaled;
        let square = &mut self.stuck_square;
        square[0] += scaled.x * arm.x;
        square[1] += scaled.y * arm.y;
        square[2] += scaled.z * arm.z;
        square[3] += scaled.x * arm.y;
        square[4] += scaled.x * arm.z;
        square[5] += scaled.y * arm.z;
    }

    /// Adds a cell that slips along `direction` (e): `K` has `−turn (I − e eᵀ)` along the bed,
    /// `drop · e` for what friction loses when the cell lifts, and `−press` across it.
    #[inline]
    pub fn slip(
        &mut self,
        arm: &Vec3,
        force: &Vec3,
        [ex, ey]: [f64; 2],
        turn: f64,
        drop: f64,
        press: f64,
    ) {
        self.load(arm, force);
        let (a, b, d) = (-turn * ey * ey, turn * ex * ey, -turn * ex * ex);
        let (p, q, c) = (drop * ex, drop * ey, -press);
        let (x, y, z) = (arm.x, arm.y, arm.z);
        // Rows of −K [r]×.
        let r1 = [p * y - b * z, a * z - p * x, b * x - a * y];
        let r2 = [q * y - d * z, b * z - q * x, d * x - b * y];
        let r3 = [c * y, -c * x];
        let [ff, fr, rf, rr] = &mut self.blocks;
        ff[(0, 0)] += a;
        ff[(0, 1)] += b;
        ff[(1, 0)] += b;
        ff[(0, 2)] += p;
        ff[(1, 1)] += d;
        ff[(1, 2)] += q;
        ff[(2, 2)] += c;
        for j in 0..3 {
            fr[(0, j)] += r1[j];
            fr[(1, j)] += r2[j];
        }
        fr[(2, 0)] += r3[0];
        fr[(2, 1)] += r3[1];
        // [r]× K, with K's rows (a, b, p), (b, d, q), (0, 0, c).
        rf[(0, 0)] -= z * b;
        rf[(0, 1)] -= z * d;
        rf[(0, 2)] += y * c - z * q;
        rf[(1, 0)] += z * a;
        rf[(1, 1)] += z * b;
        rf[(1, 2)] += z * p - x * c;
        rf[(2, 0)] += x * b - y * a;
        rf[(2, 1)] += x * d - y * b;
        rf[(2, 2)] += x * q - y * p;
        // [r]× (−K [r]×).
        rr[(0, 0)] += y * r3[0] - z * r2[0];
        rr[(0, 1)] += y * r3[1] - z * r2[1];
        rr[(0, 2)] -= z * r2[2];
        rr[(1, 0)] += z * r1[0] - x * r3[0];
        rr[(1, 1)] += z * r1[1] - x * r3[1];
        rr[(1, 2)] += z * r1[2];
        for j in 0..3 {
            rr[(2, j)] += x * r2[j] - y * r1[j];
        }
    }

    /// Adds any further tangent `K` of a cell.
    pub fn block(&mut self, arm: &Vec3, k: &Mat3) {
        let hat = cross(arm);
        let turning = -k * hat;
        self.blocks[0] += k;
        self.blocks[1] += turning;
        self.blocks[2] += hat * k;
        self.blocks[3] += hat * turning;
    }

    /// The blocks force–shift, force–turn, moment–shift and moment–turn, for the shear and normal
    /// stiffness of the cells that stick.
    pub fn blocks(&self, shear: f64, normal: f64) -> [Mat3; 4] {
        let (kt, kn) = (-shear, -normal);
        let diagonal = Mat3::from_diagonal(&Vec3::new(kt, kt, kn));
        let hat = cross(&self.stuck_arm);
        let [xx, yy, zz, xy, xz, yz] = self.stuck_square;
        let stuck = Mat3::new(
            kt * zz + kn * yy,
            -kn * xy,
            -kt * xz,
            -kn * xy,
            kt * zz + kn * xx,
            -kt * yz,
            -kt * xz,
            -kt * yz,
            kt * (xx + yy),
        );
        let [ff, fr, rf, rr] = self.blocks;
        [
            ff + diagonal * self.stuck_area,
            fr - diagonal * hat,
            rf + hat * diagonal,
            // The arms turn with the fragment: Σ (δθ × r) × f = (Σ r fᵀ − (Σ r·f) I) δθ.
            rr + stuck + self.arm_force - Mat3::identity() * self.arm_force.trace(),
        ]
    }
}
