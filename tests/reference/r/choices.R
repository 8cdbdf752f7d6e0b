# Makes expected/choices.json with base R, by numerical integrals and optim, and checks
# expected/discrimination.json. Run from tests/reference: Rscript r/choices.R. Needs jsonlite.
library(jsonlite)
area <- function(f, low = -Inf, high = Inf) integrate(f, low, high, rel.tol = 1e-12, abs.tol = 0, subdivisions = 2000)$value
forms <- list(
  "2-afc" = function(d) pnorm(d / sqrt(2)),
  "3-afc" = function(d) area(function(z) dnorm(z - d) * pnorm(z)^2, -12, 12 + d),
  "duo-trio" = function(d) 1 - pnorm(d / sqrt(2)) - pnorm(d / sqrt(6)) + 2 * pnorm(d / sqrt(2)) * pnorm(d / sqrt(6)),
  # The odd one lies farther from both than they from each other (noncentral chi-squared ratio).
  triangle = function(d) 2 * area(function(z) dnorm(z) * (pnorm(-z * sqrt(3) + d * sqrt(2 / 3)) + pnorm(-z * sqrt(3) - d * sqrt(2 / 3))), 0, 12),
  tetrad = function(d) 1 - 2 * area(function(z) dnorm(z) * (2 * pnorm(z) * pnorm(z - d) - pnorm(z - d)^2), -12, 12))
guess <- c("2-afc" = 1 / 2, "3-afc" = 1 / 3, "duo-trio" = 1 / 2, triangle = 1 / 3, tetrad = 1 / 3)
root <- function(f, low, high) uniroot(f, c(low, high), tol = 1e-14, maxiter = 5000)$root

d_prime <- function(form, right, of, alpha = 0.05) {
  f <- forms[[form]]; share <- right / of
  loglik <- function(d) { p <- f(d); right * log(p) + (of - right) * log1p(-p) }
  best <- root(function(d) f(d) - share, 1e-6, 12)
  h <- 1e-3  # five-point slope
  slope <- (f(best - 2 * h) - 8 * f(best - h) + 8 * f(best + h) - f(best + 2 * h)) / (12 * h)
  drop <- qchisq(1 - alpha, 1) / 2; above <- function(d) loglik(d) - loglik(best) + drop
  low <- if (above(1e-8) >= 0) 0 else root(above, 1e-8, best)
  list(form = form, right = right, of = of, d_prime = best, se = sqrt(share * (1 - share) / of) / slope,
       low = low, high = root(above, best, 20))
}
judged <- list()
for (form in names(forms)) for (x in list(c(9, 15), c(25, 50), c(70, 100)))
  if (x[1] / x[2] > guess[form]) judged[[length(judged) + 1]] <- d_prime(form, x[1], x[2])

# Beta-binomial above guessing, each taster's chance by an integral over the beta.
spread_chance <- function(x, n, g, share, spread) {
  a <- share * (1 - spread) / spread; b <- (1 - share) * (1 - spread) / spread
  log(area(function(u) { p <- g + (1 - g) * qbeta(u, a, b); dbinom(x, n, p) }, 0, 1))
}
# The same by the exact finite sum, for optim (checked against the integral below).
sum_chance <- function(x, n, g, share, spread) {
  a <- share * (1 - spread) / spread; b <- (1 - share) * (1 - spread) / spread; i <- 0:x
  log(sum(choose(x, i) * g^(x - i) * (1 - g)^(n - x + i) * exp(lbeta(a + i, n - x + b) - lbeta(a, b))) * choose(n, x))
}
beta_binomial <- function(right, of, form) {
  g <- guess[[form]]
  loglik <- function(par) sum(mapply(sum_chance, right, of, g, par[1], par[2]))
  away <- function(q) { p <- plogis(q); -loglik(p) }
  start <- optim(qlogis(c(0.3, 0.3)), away, control = list(reltol = 1e-15, maxit = 5000))
  fit <- optim(start$par, away, method = "BFGS", control = list(reltol = 1e-16, maxit = 1000))
  p <- plogis(fit$par); top <- -fit$value
  hess <- optimHess(p, function(q) -loglik(q), control = list(ndeps = c(1e-4, 1e-4)))
  flat <- optimize(function(m) sum(dbinom(right, of, g + (1 - g) * m, log = TRUE)), c(0, 1), maximum = TRUE, tol = 1e-12)
  profile <- function(m) -optimize(function(s) -loglik(c(m, s)), c(1e-6, 1 - 1e-6), tol = 1e-10)$objective
  drop <- qchisq(0.95, 1) / 2
  low <- root(function(m) profile(m) - top + drop, 1e-4, p[1]); high <- root(function(m) profile(m) - top + drop, p[1], 1 - 1e-4)
  list(right = right, of = of, form = form, share = p[1], spread = p[2], se = sqrt(diag(solve(hess))),
       log_likelihood = top, by_integral = sum(mapply(spread_chance, right, of, g, p[1], p[2])),
       ratio = 2 * (top - flat$objective), share_low = low, share_high = high)
}
replicated <- list(beta_binomial(c(2, 3, 5, 9, 3, 10, 4, 2), rep(12, 8), "triangle"),
                   beta_binomial(c(3, 4, 6, 6, 5, 2, 6, 3, 6), c(6, 6, 6, 6, 6, 5, 6, 6, 8), "2-afc"))

# Preference with "no preference": d' and band by optim.
two_sample <- function(a, b, neither) {
  loglik <- function(par) { up <- pnorm((par[1] - par[2]) / sqrt(2)); down <- pnorm((-par[1] - par[2]) / sqrt(2))
    a * log(up) + b * log(down) + neither * log(1 - up - down) }
  fit <- optim(c(0.1, 0.5), function(p) -loglik(p), control = list(reltol = 1e-16, maxit = 9999))
  fit <- optim(fit$par, function(p) -loglik(p), method = "BFGS", control = list(reltol = 1e-16))
  hess <- optimHess(fit$par, function(p) -loglik(p))
  profile <- function(d) -optimize(function(t) -loglik(c(d, t)), c(1e-6, 6), tol = 1e-10)$objective
  above <- function(d) profile(d) + fit$value + qchisq(0.95, 1) / 2
  list(a = a, b = b, neither = neither, d_prime = fit$par[1], band = fit$par[2], se = sqrt(solve(hess)[1, 1]),
       low = root(above, fit$par[1] - 3, fit$par[1]), high = root(above, fit$par[1], fit$par[1] + 3))
}
preferences <- list(two_sample(12, 5, 4), two_sample(6, 10, 9))

# Lines of the sequential test: exact chances by brute force over the first answers.
file <- fromJSON("expected/discrimination.json", simplifyVector = FALSE); worst <- 0
for (case in file$binom_tests) {
  test <- binom.test(case$x, case$n, case$p0, case$alternative)
  both <- binom.test(case$x, case$n)$conf.int
  worst <- max(worst, abs(test$p.value - case$p), abs(unlist(case$ci95_two_sided_clopper_pearson) - both))
}
for (case in file$minimum_correct) if (!is.null(case$min_correct))
  worst <- max(worst, abs(pbinom(case$min_correct - 1, case$n, if (grepl("1_3", case$test)) 1 / 3 else 1 / 2, lower.tail = FALSE) - case$exact_tail_at_min))
cat("discrimination.json: largest difference", worst, "\n")
write_json(list(meta = list(R = R.version.string, by = "r/choices.R"), d_prime = judged, replicated = replicated,
                preferences = preferences), "expected/choices.json", digits = NA, auto_unbox = TRUE, pretty = 1)
