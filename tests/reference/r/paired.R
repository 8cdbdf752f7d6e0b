# Makes the values of expected/paired.json again with base R and prints them, to be compared.
# Run from tests/reference: Rscript r/paired.R
options(digits = 17)
sleep <- read.csv("data/sleep.csv"); cake <- read.csv("data/cake.csv")
means <- aggregate(angle ~ replicate + recipe, cake, mean)
cases <- list(
  sleep = list(x = sleep$extra[sleep$group == 2], y = sleep$extra[sleep$group == 1], unit = 0.1),
  cake_A_minus_B = list(x = means$angle[means$recipe == "A"], y = means$angle[means$recipe == "B"],
                        unit = 1 / 6),
  made_up_zeros_and_ties = list(x = c(7, 6, 5, 8, 6, 7, 7, 5, 9, 6, 4, 8),
                                y = c(6, 6, 6, 6, 6, 5, 7, 5, 6, 7, 4, 5), unit = 1))

# Exact two-sided p by going through all sign patterns of whole numbers.
signs <- function(k) as.matrix(expand.grid(rep(list(c(-1, 1)), length(k)))) %*% abs(k)
flip <- function(k) mean(abs(signs(k)) >= abs(sum(k)))
signed_rank <- function(k) { k <- k[k != 0]; flip(sign(k) * rank(abs(k)) * 2) }
walsh <- function(d) { s <- outer(d, d, "+") / 2; sort(s[upper.tri(s, diag = TRUE)]) }

for (id in names(cases)) {
  case <- cases[[id]]; d <- case$x - case$y; k <- round(d / case$unit); n <- length(d)
  t <- t.test(case$x, case$y, paired = TRUE); w <- walsh(d); i <- qsignrank(0.025, n)
  dz <- mean(d) / sd(d); df <- n - 1
  J <- exp(lgamma(df / 2) - lgamma((df - 1) / 2)) / sqrt(df / 2)
  cat(id, "\n")
  print(c(estimate = mean(d), se = sd(d) / sqrt(n), t = unname(t$statistic), p = t$p.value,
          low = t$conf.int[1], high = t$conf.int[2], dz = dz, hedges_g = dz * J,
          signed_rank_p = signed_rank(k), sign_p = binom.test(sum(k > 0), sum(k != 0))$p.value,
          hodges_lehmann = median(w), hl_low = w[i], hl_high = w[length(w) + 1 - i],
          sign_flip_p = flip(k)))
}
