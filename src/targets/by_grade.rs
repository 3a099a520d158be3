//! A whole target in a word and a number: its surest grade, and how many of its details have it. For whoever compares
//! telescopes at a glance: where the word is the same, the number tells the finer one.

use crate::targets::grade::Grade;

/// How many details of one target show how surely in one telescope, in the usual air.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct ByGrade {
    /// To any visitor.
    pub n_plain: usize,
    /// To whoever takes a minute.
    pub n_patient: usize,
    /// In moments.
    pub n_fleeting: usize,
}

impl ByGrade {
    /// Of the grades of all details that are there.
    pub fn of(grades: impl IntoIterator<Item = Grade>) -> ByGrade {
        let mut by_grade = ByGrade::default();
        for grade in grades {
            match grade {
                Grade::Plain => by_grade.n_plain += 1,
                Grade::Patient => by_grade.n_patient += 1,
                Grade::Fleeting => by_grade.n_fleeting += 1,
                Grade::Beyond => {}
            }
        }
        by_grade
    }

    /// The grade that stands for the target: that of its surest details.
    pub fn grade(&self) -> Grade {
        match self {
            ByGrade { n_plain: 1.., .. } => Grade::Plain,
            ByGrade { n_patient: 1.., .. } => Grade::Patient,
            ByGrade {
                n_fleeting: 1.., ..
            } => Grade::Fleeting,
            _ => Grade::Beyond,
        }
    }

    /// How many details have that grade; 0 where nothing is promised.
    pub fn n_so_surely(&self) -> usize {
        match self.grade() {
            Grade::Plain => self.n_plain,
            Grade::Patient => self.n_patient,
            Grade::Fleeting => self.n_fleeting,
            Grade::Beyond => 0,
        }
    }

    /// How many more show to whoever takes a minute, where others are plain.
    pub fn n_for_a_minute(&self) -> usize {
        match self.grade() {
            Grade::Plain => self.n_patient,
            _ => 0,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_surest_stand_for_all() {
        use Grade::{Beyond, Fleeting, Patient, Plain};
        let told = |grades: &[Grade]| {
            let by_grade = ByGrade::of(grades.iter().copied());
            (
                by_grade.grade(),
                by_grade.n_so_surely(),
                by_grade.n_for_a_minute(),
            )
        };
        let mixed = [Fleeting, Plain, Beyond, Plain, Patient];
        assert_eq!(told(&mixed), (Plain, 2, 1));
        assert_eq!(told(&[Beyond, Patient, Fleeting]), (Patient, 1, 0));
        assert_eq!(told(&[Fleeting, Fleeting, Beyond]), (Fleeting, 2, 0));
        assert_eq!(told(&[Beyond, Beyond]), (Beyond, 0, 0));
        assert_eq!(told(&[]), (Beyond, 0, 0));
    }
}
