# Times of exact and sampled tests in R, milliseconds, for tables given as JSON on standard input.
suppressPackageStartupMessages({library(coin); library(exactRankTests)}); library(jsonlite)
data <- fromJSON(file("stdin"))
ms <- function(work, times = 5) { work(); t <- replicate(times, system.time(work())["elapsed"]); 1000 * max(median(t), 1e-4) }
many <- function(work, n) ms(function() for (i in 1:n) work()) / n
blocks <- function(m) data.frame(y = as.vector(m), g = factor(col(m)), b = factor(row(m)))
f <- blocks(data$friedman); p <- blocks(data$page); q <- blocks(data$cochran); d <- data$pairs
p$g <- ordered(p$g)
sampled <- approximate(nresample = 9999)
out <- list(
  signed_rank = many(function() pvalue(wilcoxsign_test(d ~ rep(0, length(d)), distribution = "exact")), 10),
  sign_flip = many(function() perm.test(round(10 * d), paired = FALSE, mu = 0, exact = TRUE)$p.value, 20),
  friedman = ms(function() pvalue(friedman_test(y ~ g | b, data = f, distribution = sampled))),
  page = ms(function() pvalue(friedman_test(y ~ g | b, data = p, distribution = sampled))),
  cochran = ms(function() pvalue(symmetry_test(y ~ g | b, data = q, teststat = "quad", distribution = sampled))))
cat(toJSON(out, auto_unbox = TRUE, digits = NA))
