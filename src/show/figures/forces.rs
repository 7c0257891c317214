//! Figure "forces": what each limb and screw does to the fragment, as vectors.

use super::*;
use crate::show::scene::bed::ends;

/// Least width of a panel, mm.
const LEAST: f64 = 52.0;
/// Page mm per bone mm.
const SCALE: f64 = 1.5;
/// Length of the longest arrow where there is room, mm.
const LONGEST: f64 = 34.0;
/// Room round each view for arrows and their numbers, mm of bone.
const ROUND: f64 = 5.0 / SCALE;
/// Distance of tips, within which their arrows share a label, mm.
const NEAR: f64 = 3.0;
const VIEWS: [Seen; 2] = [Seen::Section, Seen::Bed];

/// Draws the force of each limb and head of a screw on the fragment as tied, in section across the bed and square to it,
/// from where the limb turns on the fragment, all arrows on one scale; with it the sum of them all.
pub fn limb_forces(case: &Case, subjects: &[Subject<'_>], theme: &Theme) -> Figure {
    let panels = Panels::new(theme, &names(subjects), theme.width, LEAST);
    let (set, body) = (theme.fine(), Body::new(case));
    let longest = subjects.iter().flat_map(|s| arrows(case, s)).map(|(_, f)| f.norm()).fold(1e-6, f64::max);
    let mut per_newton = LONGEST / longest;
    let mut extents = extents(case, &body, subjects, per_newton);
    while extents.iter().any(|e| SCALE * e.size()[0] > panels.width) && per_newton * longest > 4.0 {
        per_newton *= 0.95;
        extents = self::extents(case, &body, subjects, per_newton);
    }
    // Names and two columns of numbers under each panel.
    let lists: Vec<_> = subjects.iter().map(|s| list(case, s)).collect();
    let most = lists.iter().map(|l| lines(l, set, panels.width)).max().unwrap_or(0);
    let deep = extents.map(|e| SCALE * e.size()[1]);
    let tall = deep[0] + deep[1] + (most + 1) as f64 * set.leading() + 3.0;
    let low = panels.height(tall).max(16.0) + set.leading() + 3.0;
    let mut canvas = Canvas::new(theme.width, low);
    panels.draw(&mut canvas, theme, tall, NONE, |canvas, k, area| {
        let upper = Rect::new(area.x, area.y, area.w, deep[0]);
        let lower = Rect::new(area.x, upper.bottom(), area.w, deep[1]);
        for ((seen, window), extent) in VIEWS.into_iter().zip([upper, lower]).zip(&extents) {
            let view = View::in_window(case, theme, seen, extent, SCALE, window);
            draw(canvas, &body, &subjects[k], &view, per_newton);
        }
        write(canvas, theme, &lists[k], area.w, [area.x, lower.bottom() + 1.0]);
    });
    if !subjects.is_empty() {
        scales(&mut canvas, theme, low - 1.8, longest, per_newton);
    }
    let caption = "Force of each limb (and head of a screw) on the fragment as tied. Above: in section across the bed, outward to the side and lateral up; below: square to the bed, seen from the fragment, lateral up. An arrow starts where the limb turns on the fragment (the middle of its turns there); that of a screw at its head; its number is that in the list (tips that nearly meet share a label). The heavy arrow without a number is the sum of all, from the fragment's centroid; dashed: the reduced fragment; what shanks of screws bear sideways is left out. All arrows and all panels are on one scale. In the list: normal force on the bed (minus: lifts), and shear force along the bed.";
    let alt = each(subjects, |s| {
        let said = |(name, parts): &Line| {
            let [on, along] = parts.map(newtons);
            format!("{name}: {on} on the bed, {along} along it")
        };
        list(case, s).iter().map(said).collect::<Vec<_>>().join("; ")
    });
    let alt = format!(
        "Arrows of the force of each limb and head of a screw on the fragment, in section and square to the bed. {alt}."
    );
    Figure::new("forces", canvas, numbers(case, subjects), caption.to_owned(), alt)
}

/// What both views must hold of all constructs: the fragment, and arrows of so many mm a newton.
fn extents(case: &Case, body: &Body<'_>, subjects: &[Subject<'_>], per_newton: f64) -> [Extent; 2] {
    VIEWS.map(|seen| {
        let tips = subjects.iter().flat_map(|s| arrows(case, s));
        let tips = tips.flat_map(|(from, force)| [from, from + force * (per_newton / SCALE)]);
        let tips = tips.map(|p| seen.flat(case, &p));
        let outlines = subjects.iter().flat_map(|s| body.outline(seen, &s.tied.measures.pose()));
        Extent::about(tips.chain(outlines).chain(body.outline(seen, &Pose::default())), ROUND)
    })
}

fn draw(canvas: &mut Canvas, body: &Body<'_>, subject: &Subject<'_>, view: &View<'_>, per_newton: f64) {
    let (theme, case) = (view.theme, view.case);
    let shape = view.all(&body.outline(view.seen, &subject.tied.measures.pose()));
    canvas.area(&shape, theme.fragment.tint(0.35));
    canvas.outline(&shape, Stroke::solid(theme.muted, theme.hair));
    if view.seen == Seen::Section {
        canvas.line(shape[0], shape[shape.len() - 1], Stroke::solid(theme.ink, 1.3));
    }
    body.draw_reduced(canvas, view);
    let ends_of =
        |(from, force): &(Vec3, Vec3)| [view.page(*from), view.page(from + force * (per_newton / view.scale))];
    let drawn: Vec<[Point; 2]> = arrows(case, subject).iter().map(ends_of).collect();
    let mut clear = Clearance::default();
    drawn.iter().for_each(|ends| clear.keep_off(ends));
    let acting = acts(case, subject);
    let groups = distinct(acting.iter().map(|act| act.group.to_owned()));
    let [from, to] = drawn[drawn.len() - 1];
    vector(canvas, from, to, Stroke::solid(theme.ink, 1.7));
    // Arrows of one group whose tips nearly meet share a label.
    let mut labels: Vec<(String, &str, [Point; 2])> = Vec::new();
    for (k, (act, [from, to])) in acting.iter().zip(&drawn).enumerate() {
        let colour = theme.group(act.group, &groups);
        vector(canvas, *from, *to, Stroke::solid(colour, 1.0));
        canvas.disc(*from, 0.55, theme.paper);
        canvas.disc(*from, 0.4, colour);
        match labels.iter_mut().find(|(_, group, ends)| *group == act.group && distance(ends[1], *to) < NEAR) {
            Some((text, ..)) => *text += &format!(", {}", k + 1),
            None => labels.push(((k + 1).to_string(), act.group, [*from, *to])),
        }
    }
    for (text, group, [from, at]) in labels {
        let (along, set) = (toward(from, at), theme.fine().in_colour(theme.group(group, &groups)).bold());
        if let Some(r) = clear.place([set.width(&text), set.capital()], at, along, 0.5, 4.0) {
            canvas.text_on_patch(&text, [r.x, r.bottom()], set, theme.paper);
        }
    }
    if view.seen == Seen::Bed {
        let [plus, minus] = ends(&case.fragment);
        let low = shape.iter().map(|p| p[1]).fold(view.origin[1], f64::max);
        for (word, side) in [(plus, view.mirror), (minus, -view.mirror)] {
            let set = theme.note().italic().away(-side);
            let at = [view.origin[0] + side * (view.scale * case.fragment.half_chord + 4.0), low];
            if clear.is_free(&set.extent(word, at)) {
                canvas.text(word, at, set);
            }
        }
    }
}

fn scales(canvas: &mut Canvas, theme: &Theme, y: f64, longest: f64, per_newton: f64) {
    let set = theme.fine();
    let (end, base) = (2.0 + 5.0 * SCALE, y + 0.5 * set.capital());
    canvas.line([2.0, y], [end, y], Stroke::solid(theme.ink, 1.5));
    canvas.text("5 mm of bone", [end + 1.2, base], set);
    let force = round_step(longest, 3);
    let x = end + 7.2 + set.width("5 mm of bone");
    let tip = x + force * per_newton;
    vector(canvas, [x, y], [tip, y], Stroke::solid(theme.ink, 1.0));
    canvas.text(&format!("{force} N"), [tip + 1.2, base], set);
}

/// A force on the fragment. What the shank of a screw bears sideways only answers, and is left out,
/// as it is from the resultant of a tied state.
struct Act<'a> {
    pub name: &'a str,
    pub group: &'a str,
    /// Where it is drawn from, mm.
    pub from: Vec3,
    /// The force, N.
    pub force: Vec3,
}

/// Every force of a construct: limbs in their order, then heads of screws in theirs.
fn acts<'a>(case: &Case, subject: &Subject<'a>) -> Vec<Act<'a>> {
    let limbs = subject.tied.limbs.iter().map(|l| Act {
        name: &l.name,
        group: &l.group,
        from: start(l).unwrap_or(case.fragment.centroid),
        force: l.force.into(),
    });
    let screws = subject.tied.screws.iter().map(|s| Act {
        name: &s.name,
        group: &s.group,
        from: s.places[0].into(),
        force: press(s),
    });
    limbs.chain(screws).collect()
}

/// The sum of them, drawn from the fragment's centroid.
fn sum(case: &Case, subject: &Subject<'_>) -> (Vec3, Vec3) {
    (case.fragment.centroid, subject.tied.resultant.into())
}

/// Every arrow of a construct, its start and its force: each of what acts, then their sum.
fn arrows(case: &Case, subject: &Subject<'_>) -> Vec<(Vec3, Vec3)> {
    let each = acts(case, subject).into_iter().map(|a| (a.from, a.force));
    each.chain([sum(case, subject)]).collect()
}

/// Where a limb's force is drawn from: the middle of its turns on the fragment.
fn start(limb: &LimbState) -> Option<Vec3> {
    let on = limb.path.iter().zip(&limb.kinds).filter(|(_, kind)| **kind != PointKind::Anchor);
    let on: Vec<Vec3> = on.map(|(p, _)| Vec3::from(*p)).collect();
    (!on.is_empty()).then(|| on.iter().sum::<Vec3>() / on.len() as f64)
}

/// What the head of a screw presses with, along the screw from head to tip, N.
fn press(screw: &ScrewState) -> Vec3 {
    let [head, _, tip] = screw.places.map(Vec3::from);
    (tip - head).normalize() * screw.axial
}

/// A line of the list under a panel: number and name, and the parts of the force on the bed and along it, N.
type Line = (String, [f64; 2]);

/// Each limb and screw with its number, then their sum.
fn list(case: &Case, subject: &Subject<'_>) -> Vec<Line> {
    let parts = |force: Vec3| {
        let [t, m, n] = in_bed(case, force.into());
        [-n, distance([0.0; 2], [t, m])]
    };
    let each = acts(case, subject);
    let each = each.iter().enumerate().map(|(k, act)| (format!("{} {}", k + 1, act.name), parts(act.force)));
    each.chain([(format!("all {}", subject.what_pulls()), parts(sum(case, subject).1))]).collect()
}

const HEADS: [&str; 2] = ["on the bed (N)", "along it (N)"];

/// Right edges of the two columns of numbers of a list of a width, and the width for names, mm.
fn columns(set: Type, width: f64) -> ([f64; 2], f64) {
    let [first, second] = HEADS.map(|h| set.width(h));
    let right = width - 1.5 - (width - 40.0 - first - second).max(0.0) * 0.25;
    ([right - second - 3.0, right], right - second - first - 5.0)
}

/// Lines that a list takes, its head not counted.
fn lines(list: &[Line], set: Type, width: f64) -> usize {
    list.iter().map(|(name, _)| wrap(name, set, columns(set, width).1).len()).sum()
}

/// Writes a list, its upper left corner at `at`.
fn write(canvas: &mut Canvas, theme: &Theme, list: &[Line], width: f64, [x, y]: Point) {
    let set = theme.fine();
    let (edges, room) = columns(set, width);
    let mut y = y + set.leading();
    for (head, edge) in HEADS.iter().zip(edges) {
        canvas.text(head, [x + edge, y], theme.note().right());
    }
    for (name, parts) in list {
        y += set.leading();
        for (value, edge) in parts.iter().zip(edges) {
            canvas.text(&number(*value, 0), [x + edge, y], set.right());
        }
        y = canvas.lines(&wrap(name, set, room), [x + 1.0, y], set) - set.leading();
    }
}

/// The forces as a table.
fn numbers(case: &Case, subjects: &[Subject<'_>]) -> String {
    let rows = subjects.iter().flat_map(|subject| {
        let row = |number: Option<usize>, name: &str, (from, force): (Vec3, Vec3)| {
            let [t, m, n] = in_bed(case, force.into());
            let [from, force]: [[f64; 3]; 2] = [from, force].map(Into::into);
            json!([subject.construct.name, number, name, from, force, t, m, -n])
        };
        let each = acts(case, subject).into_iter().enumerate();
        let each: Vec<_> = each.map(|(k, a)| row(Some(k + 1), a.name, (a.from, a.force))).collect();
        each.into_iter().chain([row(None, "all", sum(case, subject))])
    });
    let heading =
        "construct,number,name,x_mm,y_mm,z_mm,anterior_N,superior_N,lateral_N,back_along_line_N,down_plane_N,on_bed_N";
    csv(heading.split(','), rows)
}
