# Makes expected/ordinal.json: cumulative models, with and without a random judge.
# Run from tests/reference: Rscript r/ordinal.R. Needs ordinal and jsonlite.
suppressPackageStartupMessages(library(ordinal)); library(jsonlite)
wine <- read.csv("data/wine.csv"); wine$rating <- factor(wine$rating, ordered = TRUE)
wine$judge <- factor(wine$judge)
soup <- read.csv("data/soup.csv"); soup$sureness <- factor(soup$sureness, ordered = TRUE)
soup$respondent <- factor(soup$respondent)

rows <- function(fit) {
  table <- coef(summary(fit))
  lapply(rownames(table), function(term) list(term = term, estimate = table[term, 1], se = table[term, 2]))
}
plain <- function(id, file, data, formula, link) {
  fit <- clm(formula, data = data, link = link, control = clm.control(gradTol = 1e-10))
  list(id = id, data_file = file, link = link, formula = deparse(formula), random = NA,
       log_lik = as.numeric(logLik(fit)), coefficients = rows(fit))
}
# Many adaptive nodes: the integral is then exact to more digits than are compared.
mixed <- function(id, file, data, formula, fixed, random, link, nodes = 31) {
  fit <- clmm(formula, data = data, link = link, nAGQ = nodes, Hess = TRUE,
              control = clmm.control(gradTol = 1e-8, maxIter = 200))
  list(id = id, data_file = file, link = link, formula = fixed, random = random, nodes = nodes,
       log_lik = as.numeric(logLik(fit)), sd = as.numeric(fit$ST[[1]]), coefficients = rows(fit))
}
cases <- list()
for (link in c("logit", "probit")) {
  cases <- c(cases, list(
    plain(paste0("wine_", link), "wine.csv", wine, rating ~ temp + contact, link),
    mixed(paste0("wine_judge_", link), "wine.csv", wine, rating ~ temp + contact + (1 | judge),
          "rating ~ temp + contact", "judge", link),
    plain(paste0("soup_", link), "soup.csv", soup, sureness ~ product, link),
    mixed(paste0("soup_respondent_", link), "soup.csv", soup, sureness ~ product + (1 | respondent),
          "sureness ~ product", "respondent", link)))
}
versions <- list(R = R.version.string, ordinal = as.character(packageVersion("ordinal")))
write_json(list(meta = versions, cases = cases), "expected/ordinal.json", digits = NA,
           auto_unbox = TRUE, pretty = 1, na = "null")
