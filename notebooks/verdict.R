# A verdict redone in R, from the sample of draws beside this file or from a table of the
# program's own (counterpoise data csv draws.parquet > draws.csv):
#
#   Rscript verdict.R [draws.csv]
#
# Base R alone. The arrow package reads draws.parquet itself: arrow::read_parquet("draws.parquet").
here <- dirname(sub("^--file=", "", grep("^--file=", commandArgs(FALSE), value = TRUE)[1]))
given <- commandArgs(TRUE)
draws <- read.csv(if (length(given)) given[1] else file.path(here, "sample", "longer-arms.csv.gz"))
draws <- draws[draws$people >= 0, ]
p <- 0.95 # share of the bodies, and of the draws

draws$says <- ifelse(draws$as_claimed_share >= p, "supported",
  ifelse(draws$against_share >= p, "contradicted",
    ifelse(draws$too_small_share >= p, "no difference that matters", "depends on the body")))

# The share of the draws that agree: on either side the wider of Student's interval over the
# replicates and Clopper and Pearson's, at the confidence of one of four looks.
confidence <- 1 - (1 - 0.99) / 4
agreement <- function(agree, replicate) {
  by <- tapply(agree, replicate, mean)
  half <- qt((1 + confidence) / 2, length(by) - 1) * sd(by) / sqrt(length(by))
  exact <- binom.test(sum(agree), length(agree), conf.level = confidence)$conf.int
  share <- mean(agree)
  c(share = share, low = max(0, min(exact[1], share - half)), high = min(1, max(exact[2], share + half)))
}

# Medians over the draws, the replicates brought to a common mean.
band <- function(x, replicate) {
  mean_of <- tapply(x, replicate, mean)
  quantile(x - mean_of[as.character(replicate)] + mean(mean_of), c(0.05, 0.5, 0.95), names = FALSE)
}

for (group in sort(unique(draws$people))) {
  of <- draws[draws$people == group, ]
  most <- names(which.max(table(of$says)))
  share <- agreement(of$says == most, of$replicate)
  verdict <- if (share["low"] > p) most else if (share["high"] < p) "not settled: assumptions" else "not settled: sampling"
  effect <- band(of$median_effect_percent, of$replicate)
  cat(sprintf("people %d: %.4f of %d draws say \"%s\" (%.4f to %.4f): %s; effect %+.3f %% (%+.3f to %+.3f)\n",
    group, share["share"], nrow(of), most, share["low"], share["high"], verdict, effect[2], effect[1], effect[3]))
}

# Two populations: the difference of medians, and how often the first has it harder.
bodies <- read.csv(file.path(here, "sample", "populations.csv.gz"))
a <- bodies$difficulty_ratio[bodies$people == 0]
b <- bodies$difficulty_ratio[bodies$people == 1]
set.seed(1)
resampled <- replicate(2000, median(sample(a, replace = TRUE)) - median(sample(b, replace = TRUE)))
cat(sprintf("difference of medians %.3f (%.3f to %.3f); harder for the first in %.0f %% of pairs\n",
  median(a) - median(b), quantile(resampled, 0.025), quantile(resampled, 0.975),
  100 * wilcox.test(a, b, exact = FALSE)$statistic / (length(a) * length(b))))
