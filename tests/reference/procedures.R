#!/usr/bin/env Rscript
# Writes procedures.json: what R 4.2.2 (base only) gives for every procedure of src/lib/stats on random data with
# unequal groups, ties, empty rows and every option varied. Unit tests beside the procedures read it.
#
#   Rscript tests/reference/procedures.R
#
# R's own procedure is used where base R has one. Where it has none the figure is worked out here by another route than
# the program takes: dense matrices and solve() for GEE, a singular value decomposition for Stuart-Maxwell, the bracket
# of 1969 as printed for kappa, the coincidence matrix for Krippendorff's alpha. The seed is fixed.

set.seed(20260503)
options(warn = 1)
quiet <- suppressWarnings

cases <- list()
add <- function(procedure, input, expected, how) {
  cases[[length(cases) + 1]] <<- list(procedure = procedure, how = how, input = input, expected = expected)
}
random_table <- function(rows, columns, mean) matrix(rpois(rows * columns, mean * runif(rows * columns, 0.2, 2)), rows)
levels_used <- c(0.5, 0.8, 0.9, 0.95, 0.99, 0.999)

# --- one proportion ---
for (i in 1:60) {
  n <- sample(c(1:30, 100, 1999, 250000), 1)
  x <- switch(1 + i %% 6, 0, n, rbinom(1, n, 0.5), rbinom(1, n, 0.03), rbinom(1, n, 0.9), rbinom(1, n, 0.2))
  level <- sample(levels_used, 1)
  ci <- quiet(prop.test(x, n, conf.level = level, correct = FALSE))$conf.int
  add("wilson", list(x = x, n = n, level = level), list(low = ci[1], high = ci[2]), "prop.test(correct = FALSE)")
  ci <- binom.test(x, n, conf.level = level)$conf.int
  add("clopperPearson", list(x = x, n = n, level = level), list(low = ci[1], high = ci[2]), "binom.test")
}

# --- paired proportions ---
for (i in 1:60) {
  m <- if (i %% 4 == 0) c(0, 0, 0, 0) else as.numeric(rpois(4, sample(c(1, 8, 60, 3000), 4, TRUE)))
  if (i %% 5 == 0) m[sample(4, 1)] <- 0
  if (sum(m) == 0) m[sample(4, 1)] <- 3
  level <- sample(levels_used, 1)
  n <- sum(m)
  w <- function(x) quiet(prop.test(x, n, conf.level = level, correct = FALSE))$conf.int
  a <- m[1]; b <- m[2]; c <- m[3]; d <- m[4]
  two <- (a + b) / n; one <- (a + c) / n
  l2 <- w(a + b); l1 <- w(a + c)
  product <- (a + b) * (c + d) * (a + c) * (b + d)
  phi <- if (product == 0) 0 else (if (a * d > b * c) max(a * d - b * c - n / 2, 0) else a * d - b * c) / sqrt(product)
  low <- two - one - sqrt(max(0, (two - l2[1])^2 - 2 * phi * (two - l2[1]) * (l1[2] - one) + (l1[2] - one)^2))
  high <- two - one + sqrt(max(0, (l2[2] - two)^2 - 2 * phi * (l2[2] - two) * (one - l1[1]) + (one - l1[1])^2))
  add("newcombePaired", list(both = a, gained = b, lost = c, neither = d, level = level),
      list(first = one, second = two, difference = two - one, low = low, high = high), "by hand over prop.test")
  if (b + c > 0) {
    t <- mcnemar.test(matrix(c(5, c, b, 7), 2), correct = FALSE)
    exact <- binom.test(b, b + c)$p.value
    add("mcnemar", list(gained = b, lost = c),
        list(statistic = unname(t$statistic), df = unname(t$parameter), p = t$p.value, exactP = exact,
             midP = if (b == c) 1 else exact - dbinom(b, b + c, 0.5)), "mcnemar.test(correct = FALSE), binom.test, dbinom")
    ci <- binom.test(b, b + c, conf.level = level)$conf.int
    add("pairedOddsRatio", list(gained = b, lost = c, level = level),
        list(oddsRatio = if (c > 0) b / c else NA, low = ci[1] / (1 - ci[1]), high = if (c > 0) ci[2] / (1 - ci[2]) else NA),
        "binom.test")
  }
}

# --- square tables ---
generalised_inverse <- function(m) {
  s <- svd(m)
  on <- s$d > 1e-9 * s$d[1]
  s$v[, on, drop = FALSE] %*% ((1 / s$d[on]) * t(s$u[, on, drop = FALSE]))
}
for (i in 1:40) {
  k <- sample(2:5, 1)
  m <- random_table(k, k, sample(c(0.6, 3, 40, 2000), 1))
  if (i %% 4 == 0 && k > 3) { m[1:2, 3:k] <- 0; m[3:k, 1:2] <- 0 } # two groups that are not linked
  if (i %% 5 == 0) { m[k, ] <- 0; m[, k] <- 0 }                   # a class nobody has
  d <- rowSums(m) - colSums(m)
  v <- -(m + t(m)); diag(v) <- 0; diag(v) <- -rowSums(v)
  if (any(v != 0)) {
    g <- generalised_inverse(v)
    s <- drop(t(d) %*% g %*% d)
    df <- round(sum(diag(g %*% v)))
    add("stuartMaxwell", list(table = m), list(statistic = s, df = df, p = pchisq(s, df, lower.tail = FALSE)),
        "d'V^-d with a generalised inverse by svd")
  }
  pairs <- (m + t(m))[upper.tri(m)]
  if (k > 2 && all(pairs > 0)) {
    b <- mcnemar.test(m, correct = FALSE)
    add("bowker", list(table = m), list(statistic = unname(b$statistic), df = unname(b$parameter), p = b$p.value), "mcnemar.test on a k x k table")
  }
}

# --- two-way tables ---
for (i in 1:60) {
  r <- sample(2:5, 1); k <- sample(2:5, 1)
  m <- random_table(r, k, sample(c(1, 4, 30, 5000), 1))
  if (i %% 4 == 0) m[sample(r, 1), ] <- 0
  if (i %% 5 == 0) m[, sample(k, 1)] <- 0
  t <- m[rowSums(m) > 0, colSums(m) > 0, drop = FALSE]
  if (nrow(t) > 1 && ncol(t) > 1) {
    x <- quiet(chisq.test(t, correct = FALSE))
    add("pearson", list(table = m), list(statistic = unname(x$statistic), df = unname(x$parameter), p = x$p.value,
        minExpected = min(x$expected), cramersV = sqrt(unname(x$statistic) / (sum(t) * (min(dim(t)) - 1)))), "chisq.test(correct = FALSE)")
  }
}
for (i in 1:60) {
  r <- if (i %% 6 == 0) 3 else 2
  k <- sample(2:(if (r == 3) 4 else 6), 1)
  m <- random_table(r, k, if (r == 3) 3 else sample(c(1, 4, 12), 1))
  if (i %% 7 == 0) m[, 1] <- 0
  t <- m[rowSums(m) > 0, colSums(m) > 0, drop = FALSE]
  if (nrow(t) > 1 && ncol(t) > 1) add("fisherExact", list(table = if (i %% 9 == 0) t(m) else m), list(p = fisher.test(t, workspace = 2e7)$p.value), "fisher.test")
}
for (i in 1:30) {
  k <- sample(2:6, 1)
  n <- sample(c(3, 17, 200, 5000), k, TRUE)
  x <- rbinom(k, n, runif(1, 0.1, 0.9) + 0.02 * (1:k - 3) / 3)
  scores <- if (i %% 2) seq_len(k) else cumsum(round(runif(k, 0.2, 4), 2))
  if (sum(x) > 0 && sum(x) < sum(n)) {
    r <- prop.trend.test(x, n, scores)
    add("trendInProportions", list(x = x, n = n, scores = scores), list(statistic = unname(r$statistic), df = unname(r$parameter), p = r$p.value), "prop.trend.test")
  }
}

# --- more than two occasions: Friedman's statistic on 0 and 1 is Cochran's Q ---
for (i in 1:15) {
  k <- sample(3:6, 1)
  n <- sample(c(4, 12, 80, 500), 1)
  y <- matrix(rbinom(n * k, 1, rep(runif(k, 0.3, 0.8), each = n)), n)
  f <- friedman.test(y)
  if (is.finite(f$statistic)) add("cochranQ", list(rows = y), list(n = n, occasions = k, statistic = unname(f$statistic), df = unname(f$parameter), p = f$p.value), "friedman.test on 0 and 1")
}

# --- ranks ---
for (i in 1:40) {
  k <- sample(2:5, 1)
  n <- sample(c(1, 2, 7, 40, 150), k, TRUE)
  v <- unlist(lapply(seq_len(k), function(g) rnorm(n[g], 100 + 3 * g * (i %% 3), 10)))
  v <- switch(1 + i %% 3, round(v), round(v, -1), v)
  g <- rep(seq_len(k), n) - 1
  s <- sample(length(v)); v <- v[s]; g <- g[s]
  if (length(unique(v)) < 2) next
  h <- kruskal.test(v, factor(g))
  add("kruskal", list(values = v, groups = g, groupCount = k), list(statistic = unname(h$statistic), df = unname(h$parameter), p = h$p.value,
      epsilonSquared = unname(h$statistic) / (length(v) - 1)), "kruskal.test")
  ties <- table(v); N <- length(v); r <- rank(v)
  pairs <- combn(k, 2)
  z <- apply(pairs, 2, function(p) (mean(r[g == p[1] - 1]) - mean(r[g == p[2] - 1])) /
    sqrt((N * (N + 1) / 12 - sum(ties^3 - ties) / (12 * (N - 1))) * (1 / n[p[1]] + 1 / n[p[2]])))
  p <- 2 * pnorm(-abs(z))
  add("dunn", list(values = v, groups = g, groupCount = k), list(z = I(z), p = I(p), adjustedP = I(p.adjust(p, "holm"))), "rank, table, p.adjust")
  first <- as.integer(g == 0)
  w <- wilcox.test(v[first == 1], v[first == 0], exact = FALSE, correct = TRUE)
  outer_sign <- mean(sign(outer(v[first == 1], v[first == 0], "-")))
  add("mannWhitney", list(values = v, inFirst = first), list(first = sum(first), second = sum(!first), statistic = unname(w$statistic), p = w$p.value,
      cliffsDelta = outer_sign), "wilcox.test(exact = FALSE, correct = TRUE), delta from all pairs")
  add("ranks", list(values = v), list(ranks = I(r)), "rank")
}

# --- quantiles and Holm ---
for (i in 1:25) {
  v <- round(rnorm(sample(1:40, 1), 50, 20), i %% 3)
  p <- sort(c(0, 0.25, 0.5, 0.75, 1, runif(3)))
  add("quantile7", list(values = I(v), probabilities = p), list(quantiles = I(quantile(v, p, names = FALSE, type = 7)), mean = mean(v)), "quantile(type = 7), mean")
  q <- round(runif(sample(1:10, 1))^sample(c(1, 4, 12), 1), sample(c(2, 6), 1))
  add("holm", list(p = I(q)), list(adjusted = I(p.adjust(q, "holm"))), "p.adjust")
}

# --- least squares ---
for (i in 1:25) {
  n <- sample(c(6, 15, 60, 400), 1)
  group <- factor(sample(3, n, TRUE, c(5, 2, 1)), 1:3)
  age <- sample(18:75, n, TRUE) + (i %% 2) * 100
  d <- cbind(as.integer(group == 2), as.integer(group == 3), age)
  if (i %% 3 == 0) d <- cbind(d, as.integer(group == 1))      # determined by the dummies before it
  if (i %% 4 == 0) d <- cbind(d[, 1], rep(4, n), d[, -1])     # constant
  if (i %% 5 == 0) d <- cbind(d, 2 * d[, ncol(d)] - 3, rnorm(n)) # a copy, then a free one
  y <- log(3000 + 500 * (as.integer(group) - 1) + 20 * age + rnorm(n, 0, 300))
  level <- sample(levels_used, 1)
  fit <- lm(y ~ d)
  if (fit$df.residual < 1) next
  s <- summary(fit)
  held <- !is.na(coef(fit))
  # Not confint(): R 4.2 misplaces its rows where lm has left a column out.
  half <- qt((1 + level) / 2, fit$df.residual) * s$coefficients[, 2]
  add("ols", list(y = y, columns = t(d), level = level),
      list(n = n, df = fit$df.residual, rSquared = s$r.squared, columns = I(which(held) - 2), estimate = I(unname(coef(fit)[held])), se = I(unname(s$coefficients[, 2])),
           t = I(unname(s$coefficients[, 3])), p = I(2 * pt(-abs(unname(s$coefficients[, 3])), fit$df.residual)), low = I(unname(coef(fit)[held] - half)), high = I(unname(coef(fit)[held] + half))), "lm, qt")
}

# --- GEE from the definition: dense working covariance of each cluster, inverted ---
gee <- function(y, x, id, exchangeable) {
  X <- cbind(1, x)
  beta <- coef(quiet(glm(y ~ x, family = binomial, control = glm.control(epsilon = 1e-14, maxit = 100))))
  rows <- split(seq_along(y), id)
  for (i in 1:400) {
    mu <- plogis(drop(X %*% beta)); s <- sqrt(mu * (1 - mu)); r <- (y - mu) / s
    phi <- mean(r^2)
    sums <- vapply(rows, function(k) { o <- outer(r[k], r[k]); sum(o[upper.tri(o)]) }, 0)
    alpha <- if (exchangeable) sum(sums) / (phi * sum(choose(lengths(rows), 2))) else 0
    bread <- matrix(0, 2, 2); score <- c(0, 0); filling <- matrix(0, 2, 2)
    for (k in rows) {
      R <- diag(length(k)); R[upper.tri(R) | lower.tri(R)] <- alpha
      D <- (mu * (1 - mu))[k] * X[k, , drop = FALSE]
      V <- outer(s[k], s[k]) * R
      u <- drop(t(D) %*% solve(V, y[k] - mu[k]))
      bread <- bread + t(D) %*% solve(V, D); score <- score + u; filling <- filling + outer(u, u)
    }
    step <- solve(bread, score)
    beta <- beta + step
    if (max(abs(step)) < 1e-14) break
  }
  v <- solve(bread) %*% filling %*% solve(bread)
  list(intercept = unname(beta[1]), coefficient = unname(beta[2]), se = sqrt(v[2, 2]), alpha = if (exchangeable) alpha else NA)
}
for (i in 1:14) {
  clusters <- sample(c(15, 40, 120), 1)
  size <- if (i %% 5 == 0) rep(1, clusters) else sample(1:4, clusters, TRUE)
  id <- rep(seq_len(clusters), size)
  km <- unlist(lapply(size, function(m) sort(sample(c(0.5, 1, 2.1, 4.2), m))))
  if (i %% 4 == 0) km <- km + 500
  y <- rbinom(length(id), 1, plogis(-0.3 + 0.35 * (km - min(km)) + rep(rnorm(clusters), size)))
  if (max(km[y == 0]) <= min(km[y == 1])) next
  s <- sample(length(y))
  level <- sample(levels_used, 1)
  f <- gee(y, km, id, any(size > 1))
  z <- f$coefficient / f$se; half <- qnorm((1 + level) / 2) * f$se
  add("gee", list(outcome = y[s], covariate = km[s], cluster = id[s] - 1, clusterCount = clusters, level = level),
      c(list(clusters = clusters, observations = length(y)), f, list(z = z, p = 2 * pnorm(-abs(z)), oddsRatio = exp(f$coefficient), low = exp(f$coefficient - half), high = exp(f$coefficient + half))),
      "the estimating equations with dense matrices")
}

# --- agreement ---
coefficient <- function(estimate, variance, cluster_variance, level) {
  half <- qnorm((1 + level) / 2) * sqrt(c(variance, cluster_variance))
  list(estimate = estimate, se = sqrt(variance), low = estimate - half[1], high = estimate + half[1], clusterLow = estimate - half[2], clusterHigh = estimate + half[2])
}
for (i in 1:24) {
  k <- sample(2:4, 1)
  n <- sample(c(12, 60, 400), 1)
  truth <- sample(k, n, TRUE, c(8, 3, 2, 1)[seq_len(k)])
  blur <- function(t) ifelse(runif(n) < 0.3, sample(k, n, TRUE), t)
  a <- blur(truth); b <- blur(truth)
  cluster <- sample(ceiling(n / 2), n, TRUE)
  level <- sample(levels_used, 1)
  m <- matrix(as.numeric(table(factor(a, 1:k), factor(b, 1:k))), k)
  p <- m / n; pr <- rowSums(p); pc <- colSums(p)
  if (sum(pr * pc) == 1) next
  units <- list(first = a - 1, second = b - 1, cluster = cluster - 1, clusterCount = ceiling(n / 2))
  for (weights in c("identity", "linear")) {
    w <- if (weights == "identity") diag(k) else 1 - abs(outer(1:k, 1:k, "-")) / (k - 1)
    po <- sum(w * p); pe <- sum(w * outer(pr, pc))
    wr <- drop(w %*% pc); wc <- drop(t(w) %*% pr)
    # Fleiss, Cohen, Everitt (1969), as printed.
    first <- sum(p * (w * (1 - pe) - outer(wr, wc, "+") * (1 - po))^2)
    variance <- (first - (po * pe - 2 * pe + po)^2) / (n * (1 - pe)^4)
    kappa <- (po - pe) / (1 - pe)
    # Influence of each unit, by moving its weight a little and looking at what kappa does.
    kappa_of <- function(q) { o <- sum(w * q); e <- sum(w * outer(rowSums(q), colSums(q))); (o - e) / (1 - e) }
    slope <- function(f) { h <- 1e-5; g <- matrix(0, k, k)
      for (r in 1:k) for (s in 1:k) { up <- (1 - h) * p; up[r, s] <- up[r, s] + h; dn <- (1 + h) * p; dn[r, s] <- dn[r, s] - h; g[r, s] <- (f(up) - f(dn)) / (2 * h) }
      g }
    g <- slope(kappa_of)
    add("kappa", list(table = m, weights = weights, level = level, units = units),
        coefficient(kappa, variance, sum(rowsum(g[cbind(a, b)], cluster)^2) / n^2, level), "printed formula; cluster: numerical influence of each unit")
  }
  share <- (pr + pc) / 2
  pe <- sum(share * (1 - share)) / (k - 1)
  pa <- sum(diag(p))
  ac1 <- (pa - pe) / (1 - pe)
  ac1_of <- function(q) { s <- (rowSums(q) + colSums(q)) / 2; e <- sum(s * (1 - s)) / (k - 1); (sum(diag(q)) - e) / (1 - e) }
  g <- slope(ac1_of)
  # Gwet (2008): pa(1 - pa) - 4(1 - ac1)(1/(q-1) sum p_kk(1 - share_k) - pa pe) + 4(1 - ac1)^2 (1/(q-1)^2 sum p_kl (1 - (share_k + share_l)/2)^2 - pe^2)
  v <- pa * (1 - pa) - 4 * (1 - ac1) * (sum(diag(p) * (1 - share)) / (k - 1) - pa * pe) +
    4 * (1 - ac1)^2 * (sum(p * (1 - outer(share, share, "+") / 2)^2) / (k - 1)^2 - pe^2)
  add("ac1", list(table = m, level = level, units = units), coefficient(ac1, v / (n * (1 - pe)^2), sum(rowsum(g[cbind(a, b)], cluster)^2) / n^2, level),
      "printed formula; cluster: numerical influence of each unit")
}
for (i in 1:15) {
  k <- sample(2:4, 1); raters <- sample(2:5, 1); n <- sample(c(5, 30, 120), 1)
  truth <- sample(k, n, TRUE)
  grid <- t(vapply(seq_len(raters), function(r) ifelse(runif(n) < 0.25, NA, ifelse(runif(n) < 0.3, sample(k, n, TRUE), truth)), numeric(n)))
  o <- matrix(0, k, k)
  for (u in seq_len(n)) {
    v <- na.omit(grid[, u])
    if (length(v) > 1) for (x in seq_along(v)) for (y in seq_along(v)) if (x != y) o[v[x], v[y]] <- o[v[x], v[y]] + 1 / (length(v) - 1)
  }
  nc <- rowSums(o); N <- sum(nc)
  shared <- colSums(!is.na(grid)) > 1
  at <- which(!is.na(grid), arr.ind = TRUE)
  if (sum(nc > 0) > 1) add("krippendorffAlpha", list(unit = at[, 2] - 1, rater = at[, 1] - 1, class = grid[at] - 1, unitCount = n, raterCount = raters, classCount = k),
      list(estimate = 1 - (N - 1) * (N - sum(diag(o))) / (N^2 - sum(nc^2)), units = sum(shared), raters = sum(rowSums(!is.na(grid[, shared, drop = FALSE])) > 0)), "coincidence matrix")
}

# --- standardised proportion ---
for (i in 1:15) {
  h <- sample(2:5, 1)
  N <- sample(c(0, 20, 300, 5000), h, TRUE); N[1] <- 50
  n <- ifelse(N == 0, 0, pmax(1, rbinom(h, N, 0.4)))
  x <- rbinom(h, n, 0.7)
  level <- sample(levels_used, 1)
  on <- N > 0
  p <- x[on] / n[on]; w <- N[on] / sum(N)
  wilson <- mapply(function(k, size) quiet(prop.test(k, size, conf.level = level, correct = FALSE))$conf.int, x[on], n[on])
  share <- weighted.mean(p, w); v <- sum(w^2 * p * (1 - p) / n[on]); z <- qnorm((1 + level) / 2)
  add("standardised", list(population = I(N), sampled = I(n), successes = I(x), level = level),
      list(share = share, low = if (v > 0) max(0, share - z * sqrt(v)) else NA, high = if (v > 0) min(1, share + z * sqrt(v)) else NA,
           scoreLow = share - sqrt(sum((w * (p - wilson[1, ]))^2)), scoreHigh = share + sqrt(sum((w * (wilson[2, ] - p))^2))),
      "weighted.mean, by hand over prop.test")
}

# --- exact trend in proportions: every way to share the rarer outcome out ---
for (i in 1:30) {
  k <- sample(2:4, 1)
  n <- rpois(k, sample(c(3, 12, 40), 1)) + 1
  if (i %% 6 == 0) n[sample(k, 1)] <- 0
  x <- rbinom(k, n, sort(runif(k)))
  if (i %% 5 == 0) x <- n - x
  scores <- if (i %% 2) 1:k else sort(sample(0:9, k))
  held <- n > 0
  m <- min(sum(x), sum(n) - sum(x))
  counted <- function(y) {
    all <- as.matrix(do.call(expand.grid, lapply(n[held], function(size) 0:min(size, m))))
    all <- all[rowSums(all) == m, , drop = FALSE]
    weight <- exp(rowSums(matrix(lchoose(rep(n[held], each = nrow(all)), all), nrow(all))) - lchoose(sum(n), m))
    far <- function(sums) abs(sum(n) * sums - m * sum(n * scores))
    min(1, sum(weight[far(all %*% scores[held]) >= far(sum(y[held] * scores[held]))]))
  }
  add("exactTrend", list(x = I(x), n = I(n), scores = I(scores)),
      list(p = if (m > 0 && sum(held) > 1) counted(if (sum(x) == m) x else n - x) else NA), "every table listed, lchoose")
}

# --- means, pairs, limits of agreement ---
sample_values <- function(n, kind) switch(kind, rnorm(n, 0.25, 0.02), round(rnorm(n, 170, 8)), rep(3.5, n))
for (i in 1:30) {
  n <- sample(c(0, 1, 2, 3, 12, 150), 1)
  level <- sample(levels_used, 1)
  kind <- if (n > 1 && i %% 7 == 0) 3 else 1 + i %% 2
  x <- sample_values(n, kind)
  s <- if (n > 1) sd(x) else NA
  ci <- if (n > 1 && s > 0) t.test(x, conf.level = level)$conf.int else c(NA, NA)
  add("meanInterval", list(values = I(x), level = level), list(mean = if (n) mean(x) else NA, sd = s, low = ci[1], high = ci[2]), "t.test, sd")
  y <- if (kind == 3) x + 1 else x + rnorm(n, 0.01, 0.05)
  d <- y - x
  t <- if (n > 1 && kind < 3) t.test(y, x, paired = TRUE, conf.level = level)
  add("pairedT", list(first = I(x), second = I(y), level = level),
      list(first = if (n) mean(x) else NA, second = if (n) mean(y) else NA, difference = if (n) mean(d) else NA, low = if (is.null(t)) NA else t$conf.int[1],
           high = if (is.null(t)) NA else t$conf.int[2], statistic = if (is.null(t)) NA else unname(t$statistic), df = if (is.null(t)) NA else unname(t$parameter),
           p = if (is.null(t)) NA else t$p.value), "t.test(paired = TRUE)")
  s <- if (n > 1) sd(d) else NA
  add("limitsOfAgreement", list(differences = I(d)), list(mean = if (n) mean(d) else NA, sd = s, low = mean(d) - 1.96 * s, high = mean(d) + 1.96 * s), "mean, sd")
}

# --- shares over clusters: the robust variance of a mean, as a regression on a constant with clustered errors gives it ---
for (i in 1:30) {
  n <- sample(c(1, 2, 9, 60, 400), 1)
  hit <- if (i %% 8 == 0) rep(1, n) else rbinom(n, 1, runif(1, 0.2, 0.9))
  cluster <- sample(max(1, n %/% 2), n, TRUE)
  level <- sample(levels_used, 1)
  z <- qnorm((1 + level) / 2)
  robust <- function(X, r, cluster) {   # (X'X)^-1 (sum of outer products of cluster scores) (X'X)^-1
    scores <- rowsum(X * as.vector(r), cluster)
    bread <- solve(crossprod(X))
    bread %*% crossprod(scores) %*% bread
  }
  p <- mean(hit)
  se <- sqrt(robust(matrix(1, n), hit - p, cluster)[1, 1])
  w <- quiet(prop.test(sum(hit), n, conf.level = level, correct = FALSE))$conf.int
  add("clusteredProportion", list(hits = I(hit), clusters = I(cluster), level = level),
      list(count = sum(hit), of = n, share = p, low = w[1], high = w[2], clusterLow = if (se > 1e-12) max(0, p - z * se) else NA,
           clusterHigh = if (se > 1e-12) min(1, p + z * se) else NA), "prop.test; sandwich of a regression on a constant")
  if (n < 9) next
  side <- rep(c(TRUE, FALSE), length.out = n)
  X <- cbind(side + 0, !side)
  b <- c(mean(hit[side]), mean(hit[!side]))
  V <- robust(X, hit - X %*% b, cluster)
  se <- sqrt(V[1, 1] + V[2, 2] - 2 * V[1, 2])
  d <- b[1] - b[2]
  add("clusteredDifference", list(hits = I(hit), clusters = I(cluster), side = I(side + 0), level = level),
      list(first = b[1], second = b[2], difference = d, low = if (se > 1e-12) max(-1, d - z * se) else NA, high = if (se > 1e-12) min(1, d + z * se) else NA),
      "sandwich of a regression on two groups")
}

# --- JSON with the fewest digits that give the same double again ---
number <- function(x) {
  if (is.na(x)) return("null")
  stopifnot(is.finite(x))
  for (d in 15:17) { s <- sprintf("%.*g", d, x); if (as.numeric(s) == x) break }
  s
}
json <- function(x) {
  if (is.list(x)) return(paste0("{", paste0('"', names(x), '":', vapply(x, json, ""), collapse = ","), "}"))
  if (is.character(x)) return(paste0('"', x, '"'))
  if (is.matrix(x)) return(paste0("[", paste(apply(x, 1, function(r) json(I(as.numeric(r)))), collapse = ","), "]"))
  if (length(x) == 1 && !inherits(x, "AsIs")) return(number(as.numeric(x)))
  paste0("[", paste(vapply(as.numeric(unclass(x)), number, ""), collapse = ","), "]")
}
here <- dirname(sub("^--file=", "", grep("^--file=", commandArgs(), value = TRUE)[1]))
writeLines(c("[", paste0(vapply(cases, json, ""), c(rep(",", length(cases) - 1), "")), "]"), file.path(here, "procedures.json"))
print(table(vapply(cases, `[[`, "", "procedure")))
