# Fits each invented small design of data/mixed_small_designs.csv with lme4 (REML) and writes what lmerTest,
# pbkrtest and emmeans say to expected/mixed_small_designs.json. Run from the folder that holds data/ and expected/.
# Debian: r-cran-lme4 r-cran-lmertest r-cran-pbkrtest r-cran-emmeans r-cran-jsonlite r-cran-numderiv.
suppressPackageStartupMessages({library(lmerTest); library(pbkrtest); library(emmeans); library(jsonlite); library(numDeriv)})
options(contrasts = c("contr.treatment", "contr.poly"))
emm_options(pbkrtest.limit = 1e5, lmerTest.limit = 1e5)
all <- read.csv("data/mixed_small_designs.csv"); specs <- fromJSON("data/mixed_small_designs.json", simplifyVector = FALSE)
tight <- lmerControl(optimizer = "nloptwrap", calc.derivs = FALSE, check.conv.singular = "ignore",
  optCtrl = list(algorithm = "NLOPT_LN_BOBYQA", xtol_abs = 1e-13, xtol_rel = 0, ftol_abs = 0, ftol_rel = 0, maxeval = 20000))
# Search alone leaves 1e-7 in the variances; Newton steps on numerical derivatives take it to about 1e-10.
polished <- function(fm, d) {
  lmod <- suppressMessages(lFormula(fm, d, REML = TRUE, control = tight))
  dev <- do.call(mkLmerDevfun, lmod)
  th <- suppressMessages(optimizeLmer(dev, optimizer = "nloptwrap", control = tight$optCtrl))$par
  free <- th > 1e-4; th[!free] <- 0
  f <- function(x) { t <- th; t[free] <- x; dev(t) }
  if (any(free)) for (i in 1:4) {
    step <- solve(numDeriv::hessian(f, th[free]), numDeriv::grad(f, th[free]))
    if (all(abs(step) < 1e-3)) th[free] <- th[free] - step
  }
  m <- mkMerMod(environment(dev), list(par = th, fval = dev(th), conv = 0, message = ""), lmod$reTrms, fr = lmod$fr,
    mc = call("lmer", fm, quote(d), control = quote(tight)))
  as_lmerModLmerTest(m)
}
one <- function(s) {
  d <- all[all$design == s$design, ]
  for (f in c("cook", "taster", "method", "medium", "piece")) d[[f]] <- factor(d[[f]])
  fm <- as.formula(paste(s$fixed, paste(sprintf("(1 | %s)", unlist(s$random)), collapse = " + "), sep = " + "))
  d <<- d
  m <- suppressWarnings(suppressMessages(polished(fm, d)))
  vc <- as.data.frame(VarCorr(m))
  side <- function(ddf) {
    co <- coef(summary(m, ddf = ddf)); an <- anova(m, type = 3, ddf = ddf)
    short <- if (ddf == "Satterthwaite") "satterthwaite" else "kenward-roger"
    pr <- as.data.frame(suppressMessages(pairs(emmeans(m, ~ method, lmer.df = short), adjust = "tukey")))
    list(terms = data.frame(term = rownames(co), estimate = co[, 1], se = co[, 2], df = co[, 3], p = co[, 5]),
         joint = data.frame(term = rownames(an), df1 = an$NumDF, df2 = an$DenDF, F = an[["F value"]], p = an[["Pr(>F)"]]),
         pairs = data.frame(pair = as.character(pr$contrast), estimate = pr$estimate, se = pr$SE, df = pr$df, p = pr$p.value))
  }
  list(design = s$design, fixed = s$fixed, random = s$random, loglik = as.numeric(logLik(m)),
       variances = setNames(as.list(vc$vcov), ifelse(vc$grp == "Residual", "residual", vc$grp)),
       "kenward-roger" = side("Kenward-Roger"), satterthwaite = side("Satterthwaite"))
}
out <- lapply(specs, function(s) tryCatch(suppressWarnings(one(s)), error = function(e) list(design = s$design, error = conditionMessage(e))))
versions <- c(list(R = R.version.string), lapply(setNames(nm = c("lme4", "lmerTest", "pbkrtest", "emmeans", "numDeriv")), function(p) as.character(packageVersion(p))))
write_json(list(generated_by = "r/mixed_small_designs.R", versions = versions, models = out), "expected/mixed_small_designs.json", digits = I(17), auto_unbox = TRUE, na = "null", pretty = FALSE)
