//! Several candidates graded at once, without a reference, one of them hidden in there twice: the spread of its two grades is the
//! listener's own error.
//!
//! Borrowed from ITU-R BS.2132 (several stimuli without a reference): the several at once and the scale of 0 to 100. The hidden
//! repeat and its arithmetic are ours: the error of one grade is the root of the summed squares of the differences over twice their number
//! (the usual estimate from repeats; from memory).

/// One grade.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Grade {
    /// Which candidate.
    pub candidate: usize,
    /// 0 to 100; more is better.
    pub grade: f64,
    /// Whether it is the second time that the listener heard the candidate.
    pub again: bool,
}

/// What the grades of all listeners say of one candidate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Graded {
    /// Which candidate.
    pub candidate: usize,
    /// The mean over listeners; a listener's two grades of one candidate count as their mean.
    pub mean: f64,
    /// The standard deviation of the mean over listeners; `None` with fewer than two.
    pub sd: Option<f64>,
    /// How many listeners graded it.
    pub listeners: usize,
}

/// The standard deviation of one grade, from candidates graded twice by the same listener; `None` where there are none.
pub fn own_error(listeners: &[&[Grade]]) -> Option<f64> {
    let mut squares = Vec::new();
    for grades in listeners {
        for second in grades.iter().filter(|grade| grade.again) {
            let first = grades.iter().find(|grade| !grade.again && grade.candidate == second.candidate);
            squares.extend(first.map(|first| (first.grade - second.grade).powi(2)));
        }
    }
    let count = squares.len() as f64;
    (count > 0.0).then(|| (squares.iter().sum::<f64>() / (2.0 * count)).sqrt())
}

/// Every candidate that was graded, the best first.
pub fn graded(candidates: usize, listeners: &[&[Grade]]) -> Vec<Graded> {
    let mut all: Vec<Graded> = (0..candidates)
        .filter_map(|candidate| {
            let own: Vec<f64> = listeners
                .iter()
                .filter_map(|grades| {
                    let of = |g: &&Grade| g.candidate == candidate;
                    mean(&grades.iter().filter(of).map(|g| g.grade).collect::<Vec<_>>())
                })
                .collect();
            let mean = mean(&own)?;
            Some(Graded { candidate, mean, sd: sd_of_mean(&own, mean), listeners: own.len() })
        })
        .collect();
    all.sort_by(|a, b| b.mean.total_cmp(&a.mean));
    all
}

fn mean(of: &[f64]) -> Option<f64> {
    (!of.is_empty()).then(|| of.iter().sum::<f64>() / of.len() as f64)
}

fn sd_of_mean(of: &[f64], mean: f64) -> Option<f64> {
    let n = of.len() as f64;
    (of.len() > 1).then(|| (of.iter().map(|x| (x - mean).powi(2)).sum::<f64>() / (n - 1.0) / n).sqrt())
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn grade(candidate: usize, grade: f64, again: bool) -> Grade {
        Grade { candidate, grade, again }
    }

    #[test]
    fn by_hand() {
        let one = [grade(0, 60.0, false), grade(1, 40.0, false), grade(0, 70.0, true)];
        let two = [grade(0, 55.0, false), grade(1, 80.0, false), grade(1, 60.0, true)];
        let both: [&[Grade]; 2] = [&one, &two];
        // Differences of 10 and 20: (100 + 400) / 4 = 125.
        assert_relative_eq!(own_error(&both).unwrap(), 125.0_f64.sqrt());
        let all = graded(3, &both);
        // The first: 65 and 55; the second: 40 and 70; nobody heard the third.
        let means: Vec<(usize, f64)> = all.iter().map(|g| (g.candidate, g.mean)).collect();
        assert_eq!(means, [(0, 60.0), (1, 55.0)]);
        assert_relative_eq!(all.first().and_then(|g| g.sd).unwrap(), 5.0, epsilon = 1e-12);
    }

    #[test]
    fn one_listener_without_repeat_has_no_error() {
        let one = [grade(0, 60.0, false)];
        assert_eq!(own_error(&[&one]), None);
        assert_eq!(graded(1, &[&one]).first().and_then(|g| g.sd), None);
    }
}
