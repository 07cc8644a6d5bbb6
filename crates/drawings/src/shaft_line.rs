//! The shaft's line: the stepped hollow shaft from the side with what it carries, under it the
//! line its axis takes when it is bent most, in two planes, and the bending stress along it.
//!
//! All three stand on one axis along the shaft. Across it the side view is to the same scale,
//! the bent axis is enlarged by a factor that is said.

mod bent;
mod parts;

use crate::columns::{Cell, Columns};
use crate::number::amount;
use crate::options::Options;
use crate::origin::Origin;
use crate::scale::{Scale, figure, span};
use crate::sheet::Sheet;
use kernel::units::{Angle, Length, Speed, System};

/// A stretch of the shaft.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stretch {
    /// Where it starts, along the shaft to the rear.
    pub from: Length,
    /// Where it ends.
    pub to: Length,
    /// Its diameter.
    pub outer: Length,
    /// Diameter of the bore in it; zero where it is solid.
    pub inner: Length,
}

/// A main bearing.
#[derive(Debug, Clone, PartialEq)]
pub struct MainBearing {
    /// What it is called.
    pub name: String,
    /// Its middle, along the shaft.
    pub z: Length,
}

/// A rotor on the shaft.
#[derive(Debug, Clone, PartialEq)]
pub struct RotorStation {
    /// Its serial.
    pub serial: String,
    /// Its mid-plane, along the shaft.
    pub z: Length,
    /// Its width.
    pub width: Length,
    /// Its tip radius.
    pub radius: Length,
    /// Distance of its journal's centre from the shaft's axis.
    pub eccentricity: Length,
    /// Its throw, from that of rotor 1 in the sense of rotation.
    pub throw: Angle,
    /// Slope of the journal in the throw plane of rotor 1, positive where the bent axis rises
    /// towards the rear.
    pub slope_along: Angle,
    /// The same across that plane.
    pub slope_across: Angle,
}

/// A counterweight or a flywheel.
#[derive(Debug, Clone, PartialEq)]
pub struct ShaftMass {
    /// What it is called.
    pub name: String,
    /// Its middle, along the shaft.
    pub z: Length,
    /// How long it is along the shaft.
    pub width: Length,
    /// Its diameter.
    pub diameter: Length,
}

/// A point of the bent axis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AxisPoint {
    /// Where, along the shaft.
    pub z: Length,
    /// Deflection in the throw plane of rotor 1, positive towards that throw.
    pub along: Length,
    /// Deflection across that plane, positive a quarter turn ahead of the throw.
    pub across: Length,
    /// Largest bending stress of the section, in pascal, zero or positive.
    pub stress_pa: f64,
}

/// The model of the picture.
#[derive(Debug, Clone, PartialEq)]
pub struct ShaftLine {
    /// What it belongs to.
    pub origin: Origin,
    /// Whether the shaft was taken from the engine's sizes.
    pub assumed_shaft: bool,
    /// At which speed of the shaft.
    pub speed: Speed,
    /// The shaft angle at which it is bent most.
    pub angle: Angle,
    /// The shaft, front to rear.
    pub stretches: Vec<Stretch>,
    /// Main bearings.
    pub mains: Vec<MainBearing>,
    /// Rotors, front to rear; numbered in this order.
    pub rotors: Vec<RotorStation>,
    /// Counterweights and flywheel.
    pub masses: Vec<ShaftMass>,
    /// The bent axis, front to rear.
    pub axis: Vec<AxisPoint>,
    /// What else must be said, each a sentence.
    pub notes: Vec<String>,
}

/// Left and right edge of the three drawings on the sheet.
const LEFT: f64 = 76.0;
const RIGHT: f64 = 640.0;
/// The side view is not higher than this.
const HIGH: f64 = 250.0;

fn mrad(angle: Angle) -> String {
    figure(angle.to_rad() * 1e3, 2)
}

fn mpa(stress_pa: f64) -> String {
    format!("{} MPa", figure(stress_pa / 1e6, 0))
}

/// A place along the shaft in both systems: millimetres whole.
fn along(z: Length, system: System) -> String {
    let (mm, inch) = (figure(z.to_mm(), 0), figure(z.to_inch(), 2));
    match system {
        System::Metric => format!("{mm} mm ({inch} in)"),
        System::Inch => format!("{inch} in ({mm} mm)"),
    }
}

impl RotorStation {
    /// How far the rotor's axis stands off the shaft's in the picture, positive upwards.
    fn offset_m(&self) -> f64 {
        self.eccentricity.to_m() * self.throw.to_rad().cos()
    }

    fn slopes(&self) -> String {
        format!("{} mrad, across {} mrad", mrad(self.slope_along), mrad(self.slope_across))
    }
}

impl ShaftLine {
    fn title(&self) -> String {
        let rotors = self.rotors.len();
        let noun = if rotors == 1 { "rotor" } else { "rotors" };
        format!("Shaft line: {rotors} {noun}, {} rpm", figure(self.speed.to_rpm(), 0))
    }

    fn place(&self) -> String {
        format!(
            "At {}\u{b0} of shaft, where it is bent most. In the plane of rotor 1's throw, which \
             points up, and across it; front on the left.",
            figure(self.angle.to_deg(), 0)
        )
    }

    /// The shaft's length on the sheet, in metres.
    fn scale(&self) -> Scale {
        let about = |z: Length, width: Length| [z - width / 2.0, z + width / 2.0];
        let ends = self
            .stretches
            .iter()
            .flat_map(|s| [s.from, s.to])
            .chain(self.rotors.iter().flat_map(|r| about(r.z, r.width)))
            .chain(self.masses.iter().flat_map(|m| about(m.z, m.width)))
            .chain(self.mains.iter().map(|m| m.z))
            .chain(self.axis.iter().map(|p| p.z));
        let (from, to) = span(ends.map(Length::to_m));
        let half_m = self.half_height_m();
        // A short shaft with large rotors would not fit below its heading.
        let length = (to - from).max((RIGHT - LEFT) * 2.0 * half_m / HIGH).max(1e-6);
        let middle = 0.5 * (from + to);
        Scale::new((middle - 0.5 * length, middle + 0.5 * length), (LEFT, RIGHT))
    }

    /// What stands farthest from the shaft's axis.
    fn half_height_m(&self) -> f64 {
        let shaft = self.stretches.iter().map(|s| 0.5 * s.outer.to_m());
        let rotors = self.rotors.iter().map(|r| r.radius.to_m() + r.offset_m().abs());
        let masses = self.masses.iter().map(|m| 0.5 * m.diameter.to_m());
        shaft.chain(rotors).chain(masses).filter(|m| m.is_finite()).fold(0.0, f64::max)
    }

    /// Where the bending stress is largest, if there is any.
    fn largest_stress(&self) -> Option<&AxisPoint> {
        let bent = self.axis.iter().filter(|p| p.stress_pa > 0.0);
        bent.max_by(|a, b| a.stress_pa.total_cmp(&b.stress_pa))
    }

    fn largest_deflection(&self) -> Option<(Length, &AxisPoint)> {
        self.axis
            .iter()
            .map(|p| (Length::m(p.along.to_m().hypot(p.across.to_m())), p))
            .max_by(|a, b| a.0.to_m().total_cmp(&b.0.to_m()))
    }

    /// The largest figures in words.
    fn findings(&self, system: System) -> Vec<String> {
        let mut all = Vec::new();
        if let Some((most, at)) = self.largest_deflection() {
            if most <= Length::ZERO {
                return vec!["The axis is not bent.".to_owned()];
            }
            all.push(format!(
                "Largest deflection {} at {}.",
                amount(most, system),
                along(at.z, system)
            ));
        }
        if let Some(at) = self.largest_stress() {
            all.push(format!(
                "Largest bending stress {} at {}.",
                mpa(at.stress_pa),
                along(at.z, system)
            ));
        }
        all
    }

    /// A line for each rotor: what its number in the picture stands for.
    fn key(&self) -> Vec<String> {
        self.rotors
            .iter()
            .enumerate()
            .map(|(n, rotor)| {
                format!(
                    "{}: rotor {}, throw at {}\u{b0}; slope {}.",
                    n + 1,
                    rotor.serial,
                    figure(rotor.throw.to_deg(), 0),
                    rotor.slopes()
                )
            })
            .collect()
    }

    /// The picture.
    #[must_use]
    pub fn svg(&self, options: &Options) -> String {
        let mut sheet = Sheet::new("shaft-line", options);
        let mut under = vec![self.place()];
        under.extend(self.key());
        under.extend(self.findings(options.system));
        let y = sheet.heading(&self.title(), &under);
        let scale = self.scale();
        let y = self.draw_parts(&mut sheet, y, &scale);
        let y = self.draw_bent(&mut sheet, y + 14.0, &scale, options.system);
        let y = self.draw_stress(&mut sheet, y + 20.0, &scale, options.system);
        let y = sheet.notes(y + 18.0, &self.notes);
        let foot = self.origin.at_speed(self.assumed_shaft);
        sheet.close_with(y, &self.title(), &self.sentences(options.system), &foot)
    }

    fn sentences(&self, system: System) -> Vec<String> {
        let mut all = vec![self.place()];
        all.extend(self.key());
        all.extend(self.findings(system));
        for main in &self.mains {
            all.push(format!("Main bearing {} at {}.", main.name, along(main.z, system)));
        }
        for mass in &self.masses {
            all.push(format!("{} at {}.", mass.name, along(mass.z, system)));
        }
        all.push(format!("The shaft has {} stretches.", self.stretches.len()));
        all.extend(self.notes.iter().cloned());
        all
    }

    /// Its data.
    #[must_use]
    pub fn csv(&self) -> String {
        let mut columns = Columns::new(&[
            "what",
            "name",
            "z_mm",
            "to_mm",
            "outer_mm",
            "inner_mm",
            "along_um",
            "across_um",
            "slope_along_mrad",
            "slope_across_mrad",
            "bending_stress_mpa",
        ]);
        let mm = |length: Length| Cell::Figure(length.to_mm(), 3);
        let none = Cell::Empty;
        for s in &self.stretches {
            let sizes = [s.from, s.to, s.outer, s.inner].map(mm);
            let mut cells = vec![Cell::Words("stretch"), none];
            cells.extend(sizes);
            columns.row(&cells);
        }
        for main in &self.mains {
            columns.row(&[Cell::Words("main bearing"), Cell::Words(&main.name), mm(main.z)]);
        }
        for rotor in &self.rotors {
            let half = rotor.width / 2.0;
            let slope = |angle: Angle| Cell::Figure(angle.to_rad() * 1e3, 5);
            let ends = [rotor.z - half, rotor.z + half, rotor.radius * 2.0].map(mm);
            let mut cells = vec![Cell::Words("rotor"), Cell::Words(&rotor.serial)];
            cells.extend(ends);
            cells.extend([none, none, none, slope(rotor.slope_along), slope(rotor.slope_across)]);
            columns.row(&cells);
        }
        for mass in &self.masses {
            let half = mass.width / 2.0;
            let mut cells = vec![Cell::Words("mass"), Cell::Words(&mass.name)];
            cells.extend([mass.z - half, mass.z + half, mass.diameter].map(mm));
            columns.row(&cells);
        }
        for p in &self.axis {
            columns.row(&[
                Cell::Words("axis"),
                none,
                mm(p.z),
                none,
                none,
                none,
                Cell::Figure(p.along.to_um(), 3),
                Cell::Figure(p.across.to_um(), 3),
                none,
                none,
                Cell::Figure(p.stress_pa / 1e6, 3),
            ]);
        }
        columns.into_text()
    }
}
