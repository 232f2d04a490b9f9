//! Body measures from which every garment is drafted.

/// One inch in millimetres, by definition.
const INCH: f64 = 25.4;

/// Bust and straight waist girths of ASTM D5585-11e1, sizes 00 to 20, in inches.
const BUST_AND_WAIST: [(f64, f64); 12] = [
    (31.125, 25.375),
    (31.75, 26.125),
    (33.0, 26.875),
    (34.125, 27.625),
    (35.25, 28.5),
    (36.25, 29.5),
    (37.25, 30.5),
    (38.75, 32.25),
    (40.375, 34.0),
    (42.125, 36.0),
    (44.0, 38.25),
    (46.0, 40.5),
];

/// Bust girth, in inches, of the smallest and the largest size that the drafts are made for.
pub const BUST_RANGE: (f64, f64) = (31.0, 46.0);

/// Body measures in millimetres, all of them girths or lengths of the body without ease.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Measures {
    /// Round the fullest part of the bust.
    pub bust: f64,
    /// Round the natural waist.
    pub waist: f64,
    /// Round the fullest part of the seat.
    pub hip: f64,
    /// Round the base of the neck.
    pub neck: f64,
    /// Down the centre back from the nape to the waist.
    pub nape_to_waist: f64,
    /// Down the side from the waist to the hip level.
    pub waist_to_hip: f64,
    /// Across the back from armhole to armhole at its narrowest.
    pub across_back: f64,
    /// From the base of the neck to the shoulder bone.
    pub shoulder: f64,
    /// From the shoulder bone over the bent elbow to the wrist.
    pub arm: f64,
}

impl Measures {
    /// The measures of a body of the given bust girth in inches.
    ///
    /// The waist is that of ASTM D5585-11e1 at this bust, straight between its sizes. The other
    /// measures follow the bust by the proportional rules of the drafting table: hip 64 mm over the
    /// bust, neck a fifth of the bust and 180 mm, across back a quarter of it and 110 mm, shoulder a
    /// twenty-fifth and 87 mm.
    pub fn of_bust(inches: f64) -> Self {
        let bust = inches * INCH;
        Self {
            bust,
            waist: waist_of_bust(inches) * INCH,
            hip: bust + 64.0,
            neck: bust / 5.0 + 180.0,
            nape_to_waist: bust / 50.0 + 386.0,
            waist_to_hip: 200.0,
            across_back: bust / 4.0 + 110.0,
            shoulder: bust / 25.0 + 87.0,
            arm: bust / 100.0 + 581.0,
        }
    }

    /// Size 8 of the table: bust 36 1/4 in, waist 29 1/2 in. The fixtures are drawn for this body.
    pub fn of_the_fixtures() -> Self {
        Self::of_bust(36.25)
    }

    /// The measures as a line of text for the head of a sheet.
    pub fn told(&self) -> String {
        format!(
            "bust {:.0}, waist {:.0}, hip {:.0}, neck {:.0}, nape to waist {:.0}, waist to hip {:.0}, \
             across back {:.0}, shoulder {:.0}, arm {:.0} mm",
            self.bust,
            self.waist,
            self.hip,
            self.neck,
            self.nape_to_waist,
            self.waist_to_hip,
            self.across_back,
            self.shoulder,
            self.arm
        )
    }
}

/// Waist girth in inches at a bust girth in inches; beyond the table its last step runs on.
fn waist_of_bust(inches: f64) -> f64 {
    let last_step = BUST_AND_WAIST.len() - 2;
    let step = BUST_AND_WAIST.windows(2).position(|pair| inches <= pair[1].0).unwrap_or(last_step);
    let (bust_low, waist_low) = BUST_AND_WAIST[step];
    let (bust_high, waist_high) = BUST_AND_WAIST[step + 1];
    waist_low + (waist_high - waist_low) * (inches - bust_low) / (bust_high - bust_low)
}
