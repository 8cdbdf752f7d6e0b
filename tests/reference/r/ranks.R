# Checks expected/ranks.json with base R and coin, and makes expected/rank_tables.json: incomplete
# blocks, exact by going through all orders. Run from tests/reference: Rscript r/ranks.R.
suppressPackageStartupMessages(library(coin)); library(jsonlite)
orders <- function(v) if (length(v) <= 1) list(v) else unlist(lapply(seq_along(v), function(i) lapply(orders(v[-i]), function(r) c(v[i], r))), FALSE)
file <- fromJSON("expected/ranks.json", simplifyVector = FALSE); worst <- 0
for (case in file$friedman) if (!is.null(case$table)) {
  m <- do.call(rbind, lapply(case$table, unlist)); long <- data.frame(y = as.vector(m), g = factor(col(m)), b = factor(row(m)))
  plain <- friedman.test(m); again <- friedman_test(y ~ g | b, data = long)
  trend <- friedman_test(y ~ ordered(g) | b, data = long)
  worst <- max(worst, abs(plain$statistic - case$chi2), abs(plain$p.value - case$p_chi2),
               abs(statistic(again) - case$chi2), abs(abs(statistic(trend)) - abs(case$page$z_coin_tie_corrected)))
}
for (case in file$cochran_q) {
  m <- do.call(rbind, lapply(case$table, unlist))
  worst <- max(worst, abs(friedman.test(m)$statistic - case$Q))
}
for (case in file$mcnemar) {
  worst <- max(worst, abs(binom.test(case$n10, case$n10 + case$n01)$p.value - case$p_exact_two_sided),
               abs(mcnemar.test(matrix(c(case$n11, case$n10, case$n01, case$n00), 2), correct = FALSE)$p.value - case$chi2_uncorrected$p))
}
cat("ranks.json: largest difference", worst, "\n")

# chi-squared as a quadratic form: u' V^- u over all tasters' orders.
incomplete <- function(id, blocks, methods) {
  k <- length(methods); u <- numeric(k); v <- matrix(0, k, k)
  for (b in blocks) {
    at <- match(names(b), methods); r <- rank(b); s <- length(r); away <- r - (s + 1) / 2
    u[at] <- u[at] + away; v[at, at] <- v[at, at] + sum(away^2) / (s - 1) * (diag(s) - 1 / s)
  }
  e <- eigen(v, symmetric = TRUE); keep <- e$values > 1e-9
  inverse <- e$vectors[, keep, drop = FALSE] %*% diag(1 / e$values[keep], sum(keep)) %*% t(e$vectors[, keep, drop = FALSE])
  chi2 <- as.numeric(t(u) %*% inverse %*% u)
  sums <- list(numeric(k))
  for (b in blocks) {
    at <- match(names(b), methods); r <- rank(b) - (length(b) + 1) / 2
    sums <- unlist(lapply(sums, function(s) lapply(orders(as.numeric(r)), function(o) { s[at] <- s[at] + o; s })), FALSE)
  }
  all <- vapply(sums, function(s) as.numeric(t(s) %*% inverse %*% s), 0)
  list(id = id, blocks = lapply(blocks, as.list), chi2 = chi2, df = sum(keep), p_chi2 = pchisq(chi2, sum(keep), lower.tail = FALSE),
       p_exact = mean(all >= chi2 - 1e-9))
}
cases <- list(
  incomplete("balanced_4_of_3", list(c(A = 7, B = 5, C = 3), c(A = 8, B = 6, D = 2), c(A = 5, C = 5, D = 1), c(B = 6, C = 4, D = 4)), c("A", "B", "C", "D")),
  incomplete("balanced_4_of_2", list(c(A = 7, B = 5), c(A = 8, C = 6), c(A = 5, D = 3), c(B = 6, C = 4), c(B = 7, D = 7), c(C = 5, D = 2)), c("A", "B", "C", "D")),
  incomplete("unequal", list(c(A = 7, B = 5, C = 3), c(A = 8, B = 6), c(B = 5, C = 2, D = 1), c(A = 6, D = 4), c(C = 5, D = 5)), c("A", "B", "C", "D")))
write_json(list(meta = list(R = R.version.string, by = "r/ranks.R"), incomplete = cases), "expected/rank_tables.json", digits = NA, auto_unbox = TRUE, pretty = 1)
