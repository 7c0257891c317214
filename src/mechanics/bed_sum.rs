//! Sums over bed cells: the wrench, and the tangent in four 3 × 3 blocks, in bed axes.
//!
//! A cell with the force f(x) at the arm r from the moved reference point and the tangent
//! `K = ∂f/∂x` adds `K`, `−K [r]×`, `[r]× K` and `−[r]× K [r]× + [f]× [r]×`. Cells that stick share
//! `K = −diag(k_t, k_t, k_n)` per area, so for them it is enough to sum area, area·r and area·r⊗r.

use crate::math::{Mat3, Mat6, Vec3, cross};

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
    /// Σ turn (p, r × p) ⊗ (p, r × p), without the force along n: the upper triangle row by row.
    across: [f64; 15],
    /// Σ fall (f, r × f), and the same times y and times x.
    falling: [[f64; 6]; 3],
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
            across: [0.0; 15],
            falling: [[0.0; 6]; 3],
            blocks: [Mat3::zeros(); 4],
        }
    }
}

impl BedSum {
    /// Adds a cell's load alone.
    #[inline]
    pub fn load(&mut self, arm: &Vec3, force: &Vec3) {
        self.force += force;
        self.moment += arm.cross(force);
    }

    #[inline]
    fn load_that_turns(&mut self, arm: &Vec3, force: &Vec3) {
        self.load(arm, force);
        self.arm_force += arm * force.transpose();
    }

    /// Adds a cell that sticks.
    #[inline]
    pub fn stick(&mut self, arm: &Vec3, force: &Vec3, area: f64) {
        self.load_that_turns(arm, force);
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

    /// Adds a cell that slips along `direction` (e) with the tangent `−turn p pᵀ − fall nᵀ`: `p` is e
    /// turned by a right angle in the bed, and `fall` the force that the cell loses per mm of lift.
    #[inline]
    pub fn slip(&mut self, arm: &Vec3, force: &Vec3, [ex, ey]: [f64; 2], turn: f64, fall: &Vec3) {
        self.load_that_turns(arm, force);
        let (x, y, z) = (arm.x, arm.y, arm.z);
        // Wrench of p = (−e_y, e_x, 0), without its force along n, which is zero.
        let p = [-ey, ex, -z * ex, -z * ey, x * ex + y * ey];
        let scaled = p.map(|value| value * turn);
        let mut k = 0;
        for (i, own) in scaled.iter().enumerate() {
            for other in &p[i..] {
                self.across[k] += own * other;
                k += 1;
            }
        }
        // The wrench of the load falls with the lift n·dx = dz + y δθ_x − x δθ_y.
        let moment = arm.cross(fall);
        let wrench = [fall.x, fall.y, fall.z, moment.x, moment.y, moment.z];
        for (i, w) in wrench.into_iter().enumerate() {
            self.falling[0][i] += w;
            self.falling[1][i] += w * y;
            self.falling[2][i] += w * x;
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
        let [mut ff, mut fr, mut rf, mut rr] = self.blocks;
        const PLACES: [usize; 5] = [0, 1, 3, 4, 5];
        let mut slipping = Mat6::zeros();
        let mut k = 0;
        for (a, &i) in PLACES.iter().enumerate() {
            for &j in &PLACES[a..] {
                slipping[(i, j)] -= self.across[k];
                slipping[(j, i)] = slipping[(i, j)];
                k += 1;
            }
        }
        for i in 0..6 {
            slipping[(i, 2)] -= self.falling[0][i];
            slipping[(i, 3)] -= self.falling[1][i];
            slipping[(i, 4)] += self.falling[2][i];
        }
        ff += slipping.fixed_view::<3, 3>(0, 0);
        fr += slipping.fixed_view::<3, 3>(0, 3);
        rf += slipping.fixed_view::<3, 3>(3, 0);
        rr += slipping.fixed_view::<3, 3>(3, 3);
        [
            ff + diagonal * self.stuck_area,
            fr - diagonal * hat,
            rf + hat * diagonal,
            // The arms turn with the fragment: Σ (δθ × r) × f = (Σ r fᵀ − (Σ r·f) I) δθ.
            rr + stuck + self.arm_force - Mat3::identity() * self.arm_force.trace(),
        ]
    }
}
