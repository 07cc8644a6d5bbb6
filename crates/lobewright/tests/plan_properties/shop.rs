//! Builds as a shop might bring them: worn lands, uneven steps, readings with the scatter of
//! their gauges. Lengths are whole nanometres, so that the same build can be written in
//! millimetres and in inches without a rounding.

use proptest::prelude::*;
use std::fmt::Write;

/// Nanometres.
pub(crate) type Nm = i64;
/// Readings at tips 1, 2, 3.
pub(crate) type Tips = [Nm; 3];

pub(crate) const UM: Nm = 1_000;
pub(crate) const MM: Nm = 1_000_000;
/// A ten-thousandth of an inch: the finest length that both systems write exactly in four
/// decimals of an inch.
pub(crate) const TENTH: Nm = 2_540;

/// In which unit a build is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Unit {
    Millimetre,
    Micrometre,
    Inch,
    Thou,
}

impl Unit {
    /// A length, exactly.
    pub(crate) fn text(self, nm: Nm) -> String {
        let (size, decimals, name) = match self {
            Self::Millimetre => (MM, 6, "mm"),
            Self::Micrometre => (UM, 3, "um"),
            Self::Inch => (25_400_000, 4, "in"),
            Self::Thou => (25_400, 1, "thou"),
        };
        let last = size / 10i64.pow(decimals);
        assert_eq!(nm % last, 0, "{nm} nm is no whole number of {last} nm");
        let (whole, part) = (nm.abs() / size, nm.abs() % size / last);
        let sign = if nm < 0 { "-" } else { "" };
        format!("\"{sign}{whole}.{part:0width$} {name}\"", width = decimals as usize)
    }
}

/// A rotor and its housing.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Pair {
    pub(crate) serial: String,
    pub(crate) rear: bool,
    pub(crate) mass_g: Option<u32>,
    pub(crate) land_width: Tips,
    pub(crate) gear_step: Tips,
    pub(crate) plain_step: Tips,
    pub(crate) tip_width: Option<Tips>,
    pub(crate) gear_runout: Option<Tips>,
    pub(crate) plain_runout: Option<Tips>,
    pub(crate) housing: Vec<Nm>,
    /// How much the housing shortens when clamped, if it was read free.
    pub(crate) clamp_up: Option<Nm>,
}

/// Wear of a side housing: land towards front and rear, tips towards front and rear.
pub(crate) type Worn = [Nm; 4];

/// What is wanted.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Wanted {
    pub(crate) clearance: [Nm; 2],
    pub(crate) step: [Nm; 2],
    pub(crate) matching: Nm,
    pub(crate) land_limit: Nm,
    pub(crate) tip_limit: Nm,
    /// Where a taper starts beyond the land, and its root.
    pub(crate) taper: Option<[Nm; 2]>,
}

/// A build.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Shop {
    pub(crate) pairs: Vec<Pair>,
    /// None, or one more than rotors.
    pub(crate) sides: Vec<Worn>,
    pub(crate) wanted: Wanted,
    /// Repeat and zero of micrometer and indicator.
    pub(crate) gauges: [[Nm; 2]; 2],
    /// Another micrometer for the housings.
    pub(crate) bore_gauge: Option<[Nm; 2]>,
    pub(crate) capability: Nm,
    pub(crate) least_cut: Nm,
    /// 0: no seals; 1: seals; 2: with limits.
    pub(crate) seals: u8,
}

/// Readings at three tips; one rotor in four has the same at all of them, to the last digit.
fn tips(from: Nm, to: Nm) -> impl Strategy<Value = Tips> {
    prop_oneof![
        3 => [from..=to, from..=to, from..=to],
        1 => (from..=to).prop_map(|same| [same; 3]),
    ]
}

fn pair() -> impl Strategy<Value = Pair> {
    let heights = (79_840 * UM..=79_960 * UM, tips(0, 60 * UM), tips(0, 60 * UM));
    // Worn as they are, within a few micrometres, or not at all.
    let wear = prop_oneof![2 => Just(1), 2 => Just(10), 1 => Just(100 * UM)];
    let steps = (tips(40 * UM, 160 * UM), tips(40 * UM, 160 * UM));
    let scatter = (tips(-3 * UM, 3 * UM), tips(-3 * UM, 3 * UM), tips(-4 * UM, 4 * UM));
    let taken = (any::<bool>(), any::<bool>(), any::<bool>(), any::<bool>());
    let housing = (80_000 * UM..=80_020 * UM, prop::collection::vec(0..=8 * UM, 1..6));
    let clamp_up = prop::option::weighted(0.2, 5 * UM..=40 * UM);
    let mass = prop::option::weighted(0.7, 4_000..=4_500u32);
    let rest = (taken, housing, clamp_up, mass);
    (heights, wear, steps, scatter, rest).prop_map(|(heights, wear, steps, scatter, rest)| {
        let ((width, worn_gear, worn_plain), (gear_step, plain_step)) = (heights, steps);
        let (on_width, on_tips, on_runout) = scatter;
        let ((rear, tip_width, gear_runout, plain_runout), (bore, spread), clamp_up, mass_g) = rest;
        let at = |of: &dyn Fn(usize) -> Nm| [of(0), of(1), of(2)];
        let (gear, plain) = (at(&|k| -worn_gear[k] / wear), at(&|k| -worn_plain[k] / wear));
        let true_width = at(&|k| width + gear[k] + plain[k]);
        Pair {
            serial: String::new(),
            rear,
            mass_g,
            land_width: at(&|k| true_width[k] + on_width[k]),
            gear_step,
            plain_step,
            tip_width: tip_width
                .then(|| at(&|k| true_width[k] - gear_step[k] - plain_step[k] + on_tips[k])),
            gear_runout: gear_runout.then(|| at(&|k| gear[k] - gear[0] + on_runout[k])),
            plain_runout: plain_runout.then(|| at(&|k| plain[k] - plain[0] - on_runout[k])),
            housing: spread.iter().map(|more| bore + more).collect(),
            clamp_up,
        }
    })
}

fn wanted() -> impl Strategy<Value = Wanted> {
    let clearance = [190 * UM..=250 * UM, 12 * UM..=30 * UM];
    let step = [115 * UM..=150 * UM, 10 * UM..=25 * UM];
    let limits = (4 * UM..=40 * UM, 60 * UM..=200 * UM, 100 * UM..=350 * UM);
    let start = prop_oneof![4 => Just(0), 1 => 0..=2 * MM];
    let taper = prop::option::weighted(0.25, (start, 0..=30 * UM));
    (clearance, step, limits, taper).prop_map(
        |(clearance, step, (matching, land_limit, tip_limit), taper)| Wanted {
            clearance,
            step,
            matching,
            land_limit,
            tip_limit,
            taper: taper.map(|(start, root)| [start, root]),
        },
    )
}

/// Any build.
pub(crate) fn shop() -> impl Strategy<Value = Shop> {
    let rotors = prop_oneof![3 => Just(1), 3 => Just(2), 1 => Just(3), 1 => 4..=6usize];
    let worn = [0..=25 * UM, 0..=25 * UM, 0..=25 * UM, 0..=25 * UM];
    rotors.prop_flat_map(move |count| {
        let sides = prop_oneof![Just(Vec::new()), prop::collection::vec(worn.clone(), count + 1)];
        let gauge = || [500..=3 * UM, 0..=2 * UM];
        let gauges = ([gauge(), gauge()], prop::option::weighted(0.3, gauge()));
        let machine = (1_000..=3 * UM, prop_oneof![Just(0), 5 * UM..=15 * UM]);
        (prop::collection::vec(pair(), count), sides, wanted(), gauges, machine, 0..=2u8).prop_map(
            |(mut pairs, sides, wanted, (gauges, bore_gauge), (capability, least_cut), seals)| {
                for (i, pair) in pairs.iter_mut().enumerate() {
                    pair.serial = format!("R-{}", i + 1);
                }
                Shop { pairs, sides, wanted, gauges, bore_gauge, capability, least_cut, seals }
            },
        )
    })
}

impl Shop {
    /// With every reading, limit and wear on a whole ten-thousandth of an inch.
    pub(crate) fn in_tenths(mut self) -> Self {
        let round = |nm: &mut Nm| *nm = (*nm as f64 / TENTH as f64).round() as Nm * TENTH;
        for pair in &mut self.pairs {
            [&mut pair.land_width, &mut pair.gear_step, &mut pair.plain_step]
                .into_iter()
                .chain(&mut pair.tip_width)
                .chain(&mut pair.gear_runout)
                .chain(&mut pair.plain_runout)
                .flatten()
                .chain(&mut pair.housing)
                .chain(&mut pair.clamp_up)
                .for_each(round);
        }
        self.sides.iter_mut().flatten().for_each(round);
        let wanted = &mut self.wanted;
        wanted.clearance.iter_mut().chain(&mut wanted.step).for_each(round);
        wanted.taper.iter_mut().flatten().for_each(round);
        [&mut wanted.matching, &mut wanted.land_limit, &mut wanted.tip_limit]
            .into_iter()
            .for_each(round);
        let up = |nm: &mut Nm| *nm = (*nm + TENTH - 1) / TENTH * TENTH;
        self.gauges.iter_mut().flatten().for_each(up);
        self.bore_gauge.iter_mut().flatten().for_each(up);
        up(&mut self.capability);
        up(&mut self.least_cut);
        self
    }

    /// Its file, with long lengths in one unit and short ones in another.
    pub(crate) fn file(&self, long: Unit, short: Unit) -> String {
        let (l, s) = (|nm| long.text(nm), |nm| short.text(nm));
        let list = |unit: Unit, all: &[Nm]| {
            let items: Vec<String> = all.iter().map(|nm| unit.text(*nm)).collect();
            format!("[{}]", items.join(", "))
        };
        let mut text = String::from("format = 1\n[build]\nname = \"Any\"\n[build.duty]\n");
        let mut add = |line: String| writeln!(text, "{line}").unwrap();
        let to_tenth = |nm: Nm| nm / TENTH * TENTH;
        add(format!("[engine]\nrotors = {}", self.pairs.len()));
        for (key, nm) in [
            ("generating_radius", 101_500 * UM),
            ("eccentricity", 14_500 * UM),
            ("parallel_shift", 2_500 * UM),
            ("land_radius", LAND_RADIUS),
            ("rotor_tip_radius", 99 * MM),
        ] {
            add(format!("{key} = {}", l(to_tenth(nm))));
        }
        add("rotor_material = \"nodular iron\"\nhousing_material = \"cast aluminium\"".into());
        let gauge = |name: &str, [repeat, zero]: [Nm; 2]| {
            format!("[gauge.{name}]\nrepeat = {}\nzero = {}", s(repeat), s(zero))
        };
        add(gauge("micrometer", self.gauges[0]));
        add(gauge("indicator", self.gauges[1]));
        if let Some(bore) = self.bore_gauge {
            add(gauge("bore", bore));
        }
        add(format!(
            "[machine]\ncapability = {}\nleast_cut = {}",
            s(self.capability),
            s(self.least_cut)
        ));
        for pair in &self.pairs {
            add(format!("[[housing]]\nserial = \"H{}\"", pair.serial));
            add(match pair.clamp_up {
                None => "state = \"clamped\"".into(),
                Some(by) => {
                    format!("state = \"free\"\nclamp_up = {}\nclamp_up_u = {}", s(by), s(TENTH))
                }
            });
            add(format!("width = {}", list(long, &pair.housing)));
            if self.bore_gauge.is_some() {
                add("gauge = \"bore\"".into());
            }
        }
        for (i, [lf, lr, tf, tr]) in self.sides.iter().enumerate() {
            add(format!("[[side_housing]]\nserial = \"S{i}\""));
            add(format!("land_wear = {{ front = {}, rear = {} }}", s(*lf), s(*lr)));
            add(format!("tip_wear = {{ front = {}, rear = {} }}", s(*tf), s(*tr)));
        }
        for pair in &self.pairs {
            add(format!("[[rotor]]\nserial = \"{}\"", pair.serial));
            add(format!("gear_face = \"{}\"", if pair.rear { "rear" } else { "front" }));
            add(format!("land_width = {}", list(long, &pair.land_width)));
            add(format!("gear_step = {}", list(short, &pair.gear_step)));
            add(format!("plain_step = {}", list(short, &pair.plain_step)));
            if let Some(widths) = &pair.tip_width {
                add(format!("tip_width = {}", list(long, widths)));
            }
            let runouts =
                [("gear_runout", &pair.gear_runout), ("plain_runout", &pair.plain_runout)];
            for (key, runout) in runouts.into_iter().filter_map(|(k, r)| Some((k, r.as_ref()?))) {
                add(format!("{key} = {}", list(short, runout)));
            }
            if let Some(mass) = pair.mass_g {
                add(format!("mass = \"{mass} g\""));
            }
        }
        let wanted = &self.wanted;
        let aim = |[target, tolerance]: [Nm; 2]| {
            format!("{{ target = {}, tolerance = {} }}", s(target), s(tolerance))
        };
        add(format!("[spec]\nname = \"any\"\nside_clearance = {}", aim(wanted.clearance)));
        add(format!("step = {}\nmatch = {}", aim(wanted.step), s(wanted.matching)));
        add(format!(
            "land_cut_limit = {}\ntip_cut_limit = {}",
            s(wanted.land_limit),
            s(wanted.tip_limit)
        ));
        if let Some([start, root]) = wanted.taper {
            let start = l(to_tenth(LAND_RADIUS) + start);
            add(format!("outside = \"taper\"\ntaper = {{ start = {start}, root = {} }}", s(root)));
        }
        self.seals(&mut add, long);
        text
    }

    fn seals(&self, add: &mut impl FnMut(String), unit: Unit) {
        let l = |um: Nm| unit.text(um * UM / TENTH * TENTH);
        if self.seals == 2 {
            add(format!(
                "[spec.seals]\napex_end_clearance = {{ least = {}, most = {} }}",
                l(20),
                l(120)
            ));
            for (key, um) in [
                ("apex_overhang_most", 330),
                ("apex_engagement_least", 2_500),
                ("corner_engagement_least", 4_500),
                ("side_engagement_least", 2_000),
                ("oil_engagement_least", 3_000),
                ("spring_margin", 300),
            ] {
                add(format!("{key} = {}", l(um)));
            }
        }
        if self.seals == 0 {
            return;
        }
        let mut table = |name: &str, keys: &[(&str, Nm)]| {
            add(format!("[seals.{name}]"));
            for (key, um) in keys {
                add(format!("{key} = {}", l(*um)));
            }
        };
        table("apex", &[("length", 79_950), ("height", 8_000), ("running_gap", 500)]);
        let sprung = |height, depth, radius, solid, least_load| {
            [
                ("height", height),
                ("groove_depth", depth),
                ("radius", radius),
                ("solid", solid),
                ("least_load", least_load),
            ]
        };
        table("corner", &sprung(6_600, 8_200, 92_000, 800, 2_600));
        table("side", &sprung(3_400, 4_600, 88_000, 500, 2_200));
        table("oil", &sprung(5_400, 6_800, 58_000, 700, 2_400));
    }
}

/// Outer edge of the land.
const LAND_RADIUS: Nm = 61 * MM;
