#!/usr/bin/env Rscript
# Reference computation of every figure that `kerbside plan` prints, in R.
#
#   Rscript planning.R PLAN.json RESULTS.csv|- OUT.json
#
# Results are read plainly here: columns `bib` and `finish`, finish in seconds or h:mm:ss, empty = no finish.
# `notes` is not written. Where a figure has a second formula in R the script stops if the two disagree;
# Cases of tests/reference/cases-plan were written by it.

suppressPackageStartupMessages(library(jsonlite))
options(warn = 1)

must_agree <- function(a, b, tol, what) {
  bad <- abs(a - b) > tol * pmax(1e-3, abs(a), abs(b))
  if (any(is.na(bad)) || any(bad)) stop(sprintf("%s: %s against %s", what, paste(format(a, digits = 17), collapse = " "),
                                                paste(format(b, digits = 17), collapse = " ")))
}

# --- JSON with the fewest digits that give the same double again ---------------------------------------
number_text <- function(x) {
  if (!is.finite(x)) stop("a figure that is not finite reached the output")
  for (d in 15:17) { s <- sprintf("%.*g", d, x); if (as.numeric(s) == x) break }
  s
}
json <- function(x, indent = "") {
  deeper <- paste0(indent, "  ")
  scalar <- function(v) {
    if (is.na(v)) "null" else if (is.character(v)) as.character(toJSON(v, auto_unbox = TRUE))
    else if (is.logical(v)) tolower(as.character(v)) else number_text(as.numeric(v))
  }
  if (is.null(x)) return("null")
  if (is.list(x)) {
    if (!length(x)) return(if (is.null(names(x))) "[]" else "{}")
    parts <- vapply(x, json, "", indent = deeper)
    if (is.null(names(x))) return(paste0("[\n", paste0(deeper, parts, collapse = ",\n"), "\n", indent, "]"))
    return(paste0("{\n", paste0(deeper, "\"", names(x), "\": ", parts, collapse = ",\n"), "\n", indent, "}"))
  }
  if (is.matrix(x)) return(paste0("[", paste(apply(x, 1, function(r) paste0("[", paste(vapply(r, scalar, ""), collapse = ", "), "]")),
                                             collapse = ", "), "]"))
  if (length(x) == 1 && !inherits(x, "AsIs")) return(scalar(x))
  paste0("[", paste(vapply(unclass(x), scalar, ""), collapse = ", "), "]")
}

# --- reading the plan: defaults, each of them named in `assumed` ----------------------------------------
assumed <- character(0)
given <- function(object, name, default, path = name) {
  if (!is.null(object[[name]])) return(object[[name]])
  assumed <<- c(assumed, path)
  default
}

read_plan <- function(path, has_results) {
  p <- fromJSON(path, simplifyVector = FALSE)
  out <- list(starters = p$starters, km = p$km)
  f <- if (is.null(p$field)) list() else p$field
  if (!has_results) {
    out$median <- given(f, "median", 5555 * (p$km / 16.09344)^1.06, "field.median")
    out$spread <- given(f, "spread", 0.163, "field.spread")
  }
  out$clock <- given(f, "clock", "gun", "field.clock")
  out$finishShare <- given(f, "finishShare", 0.95, "field.finishShare")
  out$slowing <- given(f, "slowing", 0, "field.slowing")
  out$waves <- given(f, "waves", list(list(share = 1, at = 0, line = 0.06 * p$starters)), "field.waves")
  out$checkpoints <- lapply(p$checkpoints, function(c) {
    at <- function(n) paste0("checkpoints.", c$name, ".", n)
    list(name = c$name, km = c$km, observers = given(c, "observers", 1, at("observers")),
         secondsEach = given(c, "secondsEach", 3, at("secondsEach")), bibRead = given(c, "bibRead", 0.97, at("bibRead")),
         feetSeen = given(c, "feetSeen", 0.94, at("feetSeen")), walking = given(c, "walking", 0, at("walking")))
  })
  out$checkpoints <- out$checkpoints[order(vapply(out$checkpoints, function(c) c$km, 0),
                                           vapply(out$checkpoints, function(c) c$name, ""), method = "radix")]
  out$early <- if (is.null(p$early)) out$checkpoints[[1]]$name else p$early
  out$late <- if (is.null(p$late)) out$checkpoints[[length(out$checkpoints)]]$name else p$late
  two <- out$early != out$late
  out$arrangement <- given(p, "arrangement", "turns")
  out$pack <- given(p, "pack", 1)
  out$aim <- given(p, "aim", if (two) "shift" else "share")
  out$keep <- given(p, "keep", 0.9)
  out$level <- given(p, "level", 0.95)
  out$power <- given(p, "power", 0.8)
  out$rule <- p$rule
  out$quarterRearfoot <- p$quarterRearfoot
  s <- if (is.null(p$shift)) list() else p$shift
  out$shift <- list(rearfootEarly = given(s, "rearfootEarly", 0.79, "shift.rearfootEarly"),
                    changed = given(s, "changed", 0.11, "shift.changed"), toRearfoot = given(s, "toRearfoot", 0.84, "shift.toRearfoot"))
  out$classes <- p$classes
  a <- if (is.null(p$agreement)) list() else p$agreement
  out$agreement <- list(shares = unlist(given(a, "shares", list(3584, 358, 48), "agreement.shares")),
                        kappa = given(a, "kappa", 0.8, "agreement.kappa"), width = given(a, "width", 0.2, "agreement.width"),
                        feetTogether = given(a, "feetTogether", 1, "agreement.feetTogether"))
  v <- if (is.null(p$validation)) list() else p$validation
  out$validation <- list(sensitivity = given(v, "sensitivity", 0.95, "validation.sensitivity"),
                         specificity = given(v, "specificity", 0.85, "validation.specificity"),
                         secondsPerClip = given(v, "secondsPerClip", 60, "validation.secondsPerClip"),
                         halfWidth = given(v, "halfWidth", 0.05, "validation.halfWidth"))
  out
}

read_finishes <- function(path) {
  d <- read.csv(path, colClasses = "character", na.strings = character(0))
  one <- function(s) if (s == "") NA_real_ else { parts <- as.numeric(strsplit(s, ":", fixed = TRUE)[[1]])
                                                  sum(parts * 60^((length(parts) - 1):0)) }
  t <- vapply(trimws(d$finish), one, 0, USE.NAMES = FALSE)
  sort(t[!is.na(t)])
}

# --- flow ----------------------------------------------------------------------------------------------
# Finish times of n runners: the quantiles at (i - 1/2)/n, of the log-normal or of last year's finishers (R type 5).
finish_times <- function(plan, finishes, n) {
  at <- (seq_len(n) - 0.5) / n
  if (is.null(finishes)) return(plan$median * exp(plan$spread * qnorm(at)))
  m <- length(finishes)
  h <- m * at + 0.5
  below <- pmin(pmax(floor(h), 1), m)
  above <- pmin(below + 1, m)
  t <- ifelse(h <= 1, finishes[1], finishes[below] + (h - below) * (finishes[above] - finishes[below]))
  must_agree(t, quantile(finishes, at, names = FALSE, type = 5), 1e-12, "quantiles of type 5")
  t
}

line_delay <- function(plan, n) {
  at <- (seq_len(n) - 0.5) / n
  share <- vapply(plan$waves, function(w) w$share, 0)
  if (abs(sum(share) - 1) > 1e-9) stop("the shares of the waves do not add up to 1")
  up <- cumsum(share)
  wave <- pmin(findInterval(at, up) + 1, length(share))
  start <- (up - share)[wave]
  vapply(plan$waves, function(w) w$at, 0)[wave] + vapply(plan$waves, function(w) w$line, 0)[wave] * (at - start) / share[wave]
}

# Everyone who passes a checkpoint, fastest first: quarter of the finish times, passing in whole milliseconds after the gun.
passing_runners <- function(plan, finishes, km) {
  n <- floor(plan$starters * (1 - (1 - plan$finishShare) * km / plan$km) + 0.5)
  if (n == 0) return(data.frame(quarter = integer(0), ms = numeric(0)))
  t <- finish_times(plan, finishes, n)
  delay <- line_delay(plan, n)
  net <- if (plan$clock == "gun") t - delay else t
  if (any(net <= 0)) stop("a runner finishes before crossing the start line")
  u <- km / plan$km
  used <- u * (1 + plan$slowing * u) / (1 + plan$slowing)
  data.frame(quarter = floor(4 * (seq_len(n) - 1) / n) + 1, ms = floor((delay + net * used) * 1000 + 0.5))
}

flow_of <- function(runners) {
  if (!nrow(runners)) return(list(first = NULL, counts = integer(0)))
  minute <- floor(runners$ms / 60000)
  list(first = min(minute), counts = tabulate(minute - min(minute) + 1), of = minute - min(minute) + 1)
}

# --- what an observer can class: a service without waiting room ------------------------------------------
# Runners come in packs (Poisson), pack sizes geometric with mean `pack`; `load` = runners to be expected while one is
# classed. The observer is to class every J-th of them and takes a fixed time. E floor(N/J), N = runners who pass meanwhile.
missed_per_classed <- function(load, J, pack) {
  q <- 1 / pack
  r <- 1 - q
  b <- load / pack
  mean_n <- load + pack - 1
  p <- 1; u <- 0; v <- 0; g <- q
  weight <- g; missed <- 0
  k <- 0
  repeat {
    k <- k + 1
    u <- r * u + p
    v <- r * v + u
    p <- b * q / k * v
    g <- r * g + q * p
    weight <- weight + g
    missed <- missed + floor(k / J) * g
    if (weight > 1e250) { s <- 1e-250; p <- p * s; u <- u * s; v <- v * s; g <- g * s; weight <- weight * s; missed <- missed * s }
    if (k > mean_n + J && g * (k + 1) <= 1e-18 * weight) break
  }
  missed / weight
}
classed_of_due <- function(load, J, pack) 1 / (1 + missed_per_classed(load, J, pack))

due_share <- function(rule) switch(rule$kind, everyone = 1, every = 1 / rule$k,
                                   windows = rule$onMinutes / rule$everyMinutes, endings = sum(10^-nchar(unlist(rule$endings))))

# Share of the due runners who are classed, for a flow of `count` runners a minute.
keeping_up <- function(count, seconds, observers, rule, arrangement, pack) {
  if (observers == 0) return(0)
  if (count == 0) return(NA)
  thin <- if (rule$kind == "endings") due_share(rule) else 1
  J <- if (rule$kind == "every") rule$k else 1
  if (arrangement == "turns") J <- J * observers else thin <- thin / observers
  classed_of_due(count * seconds / 60 * thin, J, 1 + (pack - 1) * thin)
}

erlang_loss <- function(servers, load) {
  b <- 1
  for (m in seq_len(servers)) b <- load * b / (m + load * b)
  b
}

shares_by_quarter <- function(runners, p) vapply(1:4, function(h) if (any(runners$quarter == h)) mean(p[runners$quarter == h]) else NA_real_, 0)
evenness <- function(q) { q <- q[!is.na(q)]; if (!length(q) || max(q) == 0) NULL else min(q) / max(q) }

watch <- function(place, rule, plan, observers = place$observers, pack = plan$pack) {
  counts <- place$flow$counts
  if (!length(counts)) return(list(due = due_share(rule), atPeak = NULL, share = NULL, quarterShare = I(rep(NA_real_, 4)), evenness = NULL, each = numeric(0)))
  by_count <- vapply(sort(unique(counts)), function(c) if (c == 0) NA_real_ else
    keeping_up(c, place$secondsEach, observers, rule, plan$arrangement, pack), 0)
  s <- by_count[match(counts, sort(unique(counts)))]
  p <- due_share(rule) * s[place$flow$of]
  q <- shares_by_quarter(place$runners, p)
  list(due = due_share(rule), atPeak = s[which.max(counts)], share = mean(p), quarterShare = I(q), evenness = evenness(q), each = p)
}

shown <- function(w) w[names(w) != "each"]

pooled <- function(place) {
  counts <- place$flow$counts
  if (!length(counts)) return(list(atPeak = NULL, share = NULL))
  s <- vapply(counts, function(c) 1 - erlang_loss(place$observers, c * place$secondsEach / 60), 0)
  list(atPeak = s[which.max(counts)], share = mean(s[place$flow$of]))
}

# The given list itself, everyone to be classed, observers in turn: whoever is still busy misses the runner.
replay <- function(place) {
  r <- place$runners
  if (!nrow(r)) return(list(classed = 0, share = NULL, quarterShare = I(rep(NA_real_, 4))))
  order_ <- order(r$ms, seq_len(nrow(r)))
  busy <- floor(place$secondsEach * 1000 + 0.5)
  classed <- logical(nrow(r))
  if (place$observers > 0) {
    free <- rep(-Inf, place$observers)
    for (i in seq_along(order_)) {
      who <- (i - 1) %% place$observers + 1
      at <- r$ms[order_[i]]
      if (at >= free[who]) { classed[order_[i]] <- TRUE; free[who] <- at + busy }
    }
  }
  list(classed = sum(classed), share = mean(classed), quarterShare = I(shares_by_quarter(r, as.numeric(classed))))
}

read_share <- function(place) place$bibRead * place$feetSeen * (1 - place$walking)
classified <- function(place, w) if (is.null(w$share)) 0 else nrow(place$runners) * w$share * read_share(place)
# Runner i of those who pass late is the one at the same place of the field early; chances at the two are independent.
expected_pairs <- function(early, late, e, l, rule) {
  n <- nrow(late$runners)
  if (!n) return(0)
  i <- seq_len(n)
  j <- floor((2 * i - 1) * nrow(early$runners) / (2 * n)) + 1
  sum(e$each[j] * l$each[i]) * read_share(early) * read_share(late) / (if (rule$kind == "endings") due_share(rule) else 1)
}

candidate_rules <- function()
  c(list(list(kind = "everyone")), lapply(9:1, function(d) list(kind = "endings", endings = as.character(seq_len(d) - 1))),
    lapply(c(5, 2), function(d) list(kind = "endings", endings = sprintf("%02d", seq_len(d) - 1))),
    lapply(2:10, function(k) list(kind = "every", k = k)), list(list(kind = "windows", onMinutes = 5, everyMinutes = 10)))
rule_out <- function(rule) {
  if (is.null(rule)) return(NULL)
  switch(rule$kind, everyone = list(kind = "everyone"), every = list(kind = "every", k = rule$k),
         windows = list(kind = "windows", onMinutes = rule$onMinutes, everyMinutes = rule$everyMinutes),
         endings = list(kind = "endings", share = due_share(rule)))
}

smallest_k <- function(places, plan) {
  for (k in 1:100) {
    rule <- if (k == 1) list(kind = "everyone") else list(kind = "every", k = k)
    at <- vapply(places, function(p) { w <- watch(p, rule, plan); if (is.null(w$atPeak)) 1 else w$atPeak }, 0)
    if (all(at >= plan$keep)) return(rule)
  }
  NULL
}

# --- precision -------------------------------------------------------------------------------------------
normal_z <- function(level) qnorm((1 - level) / 2, lower.tail = FALSE)
wilson <- function(share, n, level) {
  if (n == 0) return(c(NA, NA))
  z <- normal_z(level)
  mid <- (share + z^2 / (2 * n)) / (1 + z^2 / n)
  half <- z / (1 + z^2 / n) * sqrt(share * (1 - share) / n + z^2 / (4 * n^2))
  c(max(mid - half, 0), min(mid + half, 1))
}
newcombe10 <- function(n, early, gained, lost, level) {
  if (n == 0) return(c(NA, NA))
  late <- early + gained - lost
  both <- early - lost
  neither <- 1 - early - gained
  l <- wilson(late, n, level)
  e <- wilson(early, n, level)
  margins <- sqrt(late * (1 - late) * early * (1 - early))
  cross <- both * neither - gained * lost
  if (cross > 0) cross <- max(cross - 1 / (2 * n), 0)
  phi <- if (margins == 0) 0 else cross / margins
  root <- function(x, y) sqrt(max(x^2 - 2 * phi * x * y + y^2, 0))
  d <- late - early
  c(d - root(late - l[1], e[2] - early), d + root(l[2] - late, early - e[1]))
}

# --- McNemar: power over all outcomes, sample sizes --------------------------------------------------------
MAX_PAIRS <- 10000
# For d changed runners the least number in one direction at which the test is significant (d + 1: never).
critical <- function(d, alpha, mid) {
  limit <- alpha * (1 + 1e-12)
  vapply(d, function(n) {
    if (n == 0) return(1)
    c <- max(floor(n / 2) + 1, qbinom(limit / 2, n, 0.5, lower.tail = FALSE) - 2)
    repeat {
      p <- 2 * pbinom(c - 1, n, 0.5, lower.tail = FALSE) - (if (mid) dbinom(c, n, 0.5) else 0)
      if (p <= limit || c > n) break
      c <- c + 1
    }
    c
  }, 0)
}
rejecting <- function(d, crit, theta) {
  r <- pbinom(crit - 1, d, theta, lower.tail = FALSE) + pbinom(d - crit, d, theta)
  r[crit > d] <- 0
  r
}
power_of <- function(n, changed, theta, crit) sum(dbinom(0:n, n, changed) * rejecting(0:n, crit[1:(n + 1)], theta))
connor <- function(changed, difference, alpha, power) {
  za <- qnorm(alpha / 2, lower.tail = FALSE); zb <- qnorm(power)
  (za * sqrt(changed) + zb * sqrt(changed - difference^2))^2 / difference^2
}
miettinen <- function(changed, difference, alpha, power) {
  za <- qnorm(alpha / 2, lower.tail = FALSE); zb <- qnorm(power)
  (za * changed + zb * sqrt(changed^2 - difference^2 * (3 + changed) / 4))^2 / (changed * difference^2)
}
round_up <- function(x) ceiling(x - 1e-9)

crit_cache <- new.env()
criticals <- function(n, alpha, mid) {
  key <- paste(alpha, mid)
  have <- crit_cache[[key]]
  if (length(have) < n + 1) { have <- c(have, critical(length(have):n, alpha, mid)); crit_cache[[key]] <- have }
  have
}
smallest_pairs <- function(changed, theta, alpha, power, mid, guess) {
  if (guess > 1.5 * MAX_PAIRS) return(NULL)
  top <- min(MAX_PAIRS, ceiling(1.4 * guess) + 60)
  repeat {
    crit <- criticals(top, alpha, mid)
    rej <- rejecting(0:top, crit[1:(top + 1)], theta)
    for (n in seq_len(top)) if (sum(dbinom(0:n, n, changed) * rej[1:(n + 1)]) >= power) return(n)
    if (top == MAX_PAIRS) return(NULL)
    top <- MAX_PAIRS
  }
}
smallest_shift <- function(n, changed, alpha, power, mid) {
  if (n == 0 || changed == 0) return(NULL)
  crit <- criticals(n, alpha, mid)
  for (i in seq_len(floor(changed * 1000 + 1e-9)))
    if (power_of(n, changed, (1 + i / 1000 / changed) / 2, crit) >= power) return(i / 1000)
  NULL
}
mcnemar_plan <- function(n, gained, lost, alpha, power) {
  changed <- gained + lost
  difference <- gained - lost
  nothing <- changed == 0
  theta <- if (nothing) 0.5 else gained / changed
  at <- function(mid) if (n == 0) NULL else if (nothing) 0 else power_of(n, changed, theta, criticals(n, alpha, mid))
  none <- nothing || abs(difference) < 1e-12
  co <- if (none) NULL else connor(changed, difference, alpha, power)
  list(changed = changed, difference = difference, gained = gained, lost = lost,
       power = list(exact = at(FALSE), midP = at(TRUE)),
       needed = list(miettinen = if (!none) round_up(miettinen(changed, difference, alpha, power)), connor = if (!none) round_up(co),
                     exact = if (!none) smallest_pairs(changed, max(theta, 1 - theta), alpha, power, FALSE, co),
                     midP = if (!none) smallest_pairs(changed, max(theta, 1 - theta), alpha, power, TRUE, co)))
}

# --- two separate samples ------------------------------------------------------------------------------------
# Upper tail of the non-central chi-square distribution: Poisson mixture of central ones.
noncentral_tail <- function(x, df, ncp) {
  if (ncp == 0) return(pchisq(x, df, lower.tail = FALSE))
  i <- 0:ceiling(ncp / 2 + 40 * sqrt(ncp / 2 + 1) + 60)
  sum(dpois(i, ncp / 2) * pchisq(x, df + 2 * i, lower.tail = FALSE))
}
separate_figures <- function(n1, n2, early, late, alpha, power) {
  w <- function(n1, n2) {
    mean_share <- (n1 * early + n2 * late) / (n1 + n2)
    on <- mean_share > 0
    sum((n1 * (early - mean_share)^2 + n2 * (late - mean_share)^2)[on] / mean_share[on])
  }
  df <- sum(early + late > 0) - 1
  if (df < 1) return(list(df = NULL, noncentrality = NULL, power = NULL, needed = NULL))
  limit <- qchisq(alpha, df, lower.tail = FALSE)
  ncp <- if (n1 > 0 && n2 > 0) w(n1, n2) else NA
  at <- if (is.na(ncp)) NULL else noncentral_tail(limit, df, ncp)
  if (!is.null(at)) must_agree(at, pchisq(limit, df, ncp = ncp, lower.tail = FALSE), 1e-7, "non-central chi-square")
  each <- w(1, 1)
  needed <- NULL
  if (each > 1e-15) {
    enough <- function(n) noncentral_tail(limit, df, n * each) >= power
    hi <- 1
    while (!enough(hi)) hi <- hi * 2
    lo <- hi / 2
    while (hi - lo > 1) { m <- floor((lo + hi) / 2); if (enough(m)) hi <- m else lo <- m }
    needed <- hi
  }
  list(df = df, noncentrality = if (is.na(ncp)) NULL else ncp, power = at, needed = needed)
}

# --- agreement: units for a width ---------------------------------------------------------------------------
kappa_plan <- function(a, level) {
  pi <- a$shares / sum(a$shares)
  tab <- (1 - a$kappa) * outer(pi, pi) + a$kappa * diag(pi)
  chance <- sum(pi^2)
  agreement <- sum(diag(tab))
  if (1 - chance < 1e-12) return(list(agreement = agreement, kappa = a$kappa, units = NULL, runners = NULL, ac1 = list(estimate = NULL, units = NULL)))
  v <- diag(3) - outer(pi, pi, "+") * (1 - a$kappa)
  sigma2 <- sum(tab * (v - sum(tab * v))^2) / (1 - chance)^2
  e <- sum(pi * (1 - pi)) / 2
  ac1 <- (agreement - e) / (1 - e)
  g <- diag(3) - (1 - ac1) * (1 - outer(pi, pi, "+") / 2)
  gamma2 <- sum(tab * (g - sum(tab * g))^2) / (1 - e)^2
  units <- function(s2) if (s2 < 1e-24) NULL else round_up((2 * normal_z(level) / a$width)^2 * s2)
  n <- units(sigma2)
  list(agreement = agreement, kappa = a$kappa, units = n, runners = if (!is.null(n)) round_up(n * (1 + a$feetTogether) / 2),
       ac1 = list(estimate = ac1, units = units(gamma2)))
}

# --- clips for a corrected share: Tenenbein's double sampling -------------------------------------------------
double_sampling <- function(p, v, seconds, n, level) {
  raw <- p * v$sensitivity + (1 - p) * (1 - v$specificity)
  spread <- raw * (1 - raw)
  K <- if (spread == 0) 0 else p * (1 - p) * (v$sensitivity + v$specificity - 1)^2 / spread
  R <- if (seconds > 0) v$secondsPerClip / seconds else NULL
  fraction <- if (is.null(R) || K >= 1) NULL else if (K == 0) 1 else min(1, sqrt((1 - K) / (K * R)))
  target <- (v$halfWidth / normal_z(level))^2
  pq <- p * (1 - p)
  rest <- if (n > 0) target - pq * K / n else -1
  clips <- if (K >= 1 || pq == 0) NULL else if (rest <= 0) NULL else { m <- round_up(pq * (1 - K) / rest); if (m > n) NULL else m }
  free <- list(runners = NULL, clips = NULL, seconds = NULL)
  if (!is.null(fraction) && pq > 0) {
    runners <- round_up(pq * ((1 - K) / fraction + K) / target)
    m <- round_up(fraction * runners)
    free <- list(runners = runners, clips = m, seconds = runners * seconds + m * v$secondsPerClip)
  }
  at <- if (is.null(fraction) || n == 0 || pq == 0) NULL else { m <- max(1, round_up(fraction * n)); list(clips = m, halfWidth = normal_z(level) * sqrt(pq * ((1 - K) / m + K / n))) }
  list(raw = raw, reliability = K, costRatio = R, optimalFraction = fraction, runners = n, clips = clips,
       atOptimal = if (is.null(at)) list(clips = NULL, halfWidth = NULL) else at, free = free)
}

# --- all together ------------------------------------------------------------------------------------------
plan_figures <- function(plan, finishes) {
  alpha <- 1 - plan$level
  places <- lapply(plan$checkpoints, function(c) { c$runners <- passing_runners(plan, finishes, c$km); c$flow <- flow_of(c$runners); c })
  names_ <- vapply(places, function(p) p$name, "")
  early <- places[[match(plan$early, names_)]]
  late <- places[[match(plan$late, names_)]]
  two <- plan$early != plan$late
  flow <- lapply(places, function(p) {
    c <- p$flow$counts
    peak <- if (length(c)) list(minute = p$flow$first + which.max(c) - 1, count = max(c)) else list(minute = NULL, count = 0)
    list(checkpoint = p$name, km = p$km, passing = nrow(p$runners), peak = peak,
         ruleOfThumb = if (p$km > 0) 0.6 * nrow(p$runners) / p$km else NULL,
         firstMinute = p$flow$first, perMinute = I(c), quarters = I(tabulate(p$runners$quarter, 4)))
  })
  candidates <- lapply(candidate_rules(), function(rule) {
    w <- lapply(places, watch, rule = rule, plan = plan)
    e <- w[[match(plan$early, names_)]]
    l <- w[[match(plan$late, names_)]]
    list(rule = rule_out(rule), atPeak = I(vapply(w, function(x) if (is.null(x$atPeak)) NA_real_ else x$atPeak, 0)),
         classified = I(vapply(seq_along(w), function(i) classified(places[[i]], w[[i]]), 0)),
         evenness = I(vapply(w, function(x) if (is.null(x$evenness)) NA_real_ else x$evenness, 0)),
         pairs = if (two) expected_pairs(early, late, e, l, rule))
  })
  best <- NULL
  if (two) {
    pairs <- vapply(candidates, function(c) c$pairs, 0)
    if (max(pairs) > 0) best <- candidate_rules()[[which(pairs >= max(pairs) * (1 - 1e-12))[1]]]
  }
  even <- smallest_k(places, plan)
  from <- if (!is.null(plan$rule)) "given" else "recommended"
  rule <- if (!is.null(plan$rule)) plan$rule else if (plan$aim == "shift") best else even
  if (is.null(rule)) { rule <- list(kind = "everyone"); from <- "none" }
  watched <- lapply(places, watch, rule = rule, plan = plan)
  capacity <- lapply(seq_along(places), function(i) {
    p <- places[[i]]
    list(checkpoint = p$name, peakLoad = if (length(p$flow$counts)) max(p$flow$counts) * p$secondsEach / 60 else 0,
         everyone = shown(watch(p, list(kind = "everyone"), plan)), pooled = pooled(p), rule = shown(watched[[i]]),
         replay = if (!is.null(finishes)) replay(p),
         packs = lapply(1:3, function(g) list(pack = g, share = watch(p, rule, plan, pack = g)$share)),
         observers = lapply(1:4, function(m) list(observers = m, share = watch(p, rule, plan, observers = m)$share)))
  })
  at <- match(c(plan$early, plan$late), names_)
  n_class <- vapply(seq_along(places), function(i) classified(places[[i]], watched[[i]]), 0)
  pairs <- if (two) expected_pairs(early, late, watched[[at[1]]], watched[[at[2]]], rule)
  expected <- list(checkpoints = lapply(seq_along(places), function(i) {
    p <- places[[i]]
    list(checkpoint = p$name, due = nrow(p$runners) * due_share(rule), watched = if (is.null(watched[[i]]$share)) 0 else nrow(p$runners) * watched[[i]]$share,
         classified = n_class[i])
  }), pairs = pairs)
  bias <- NULL
  if (!is.null(plan$quarterRearfoot)) {
    r <- unlist(plan$quarterRearfoot)
    bias <- lapply(seq_along(places), function(i) {
      n <- tabulate(places[[i]]$runners$quarter, 4)
      q <- ifelse(n > 0, watched[[i]]$quarterShare, 0)
      field <- if (sum(n) > 0) sum(n * r) / sum(n)
      exp_ <- if (sum(n * q) > 0) sum(n * q * r) / sum(n * q)
      list(checkpoint = places[[i]]$name, field = field, expected = exp_, bias = if (!is.null(field) && !is.null(exp_)) exp_ - field)
    })
  }
  s <- plan$shift
  gained <- s$changed * s$toRearfoot
  lost <- s$changed - gained
  rear_late <- s$rearfootEarly + gained - lost
  if (lost > s$rearfootEarly + 1e-12 || gained > 1 - s$rearfootEarly + 1e-12) stop("more runners change than there are")
  n_early <- floor(n_class[at[1]] + 1e-9)
  n_late <- floor(n_class[at[2]] + 1e-9)
  n_pairs <- if (two) floor(pairs + 1e-9) else 0
  share_at <- function(p, n, share) { w <- wilson(share, n, plan$level)
    list(checkpoint = p$name, n = n, share = share, low = w[1], high = w[2], halfWidth = if (n > 0) (w[2] - w[1]) / 2) }
  d <- if (two) newcombe10(n_pairs, s$rearfootEarly, gained, lost, plan$level)
  precision <- list(shares = if (two) list(share_at(early, n_early, s$rearfootEarly), share_at(late, n_late, rear_late))
                    else list(share_at(early, n_early, s$rearfootEarly)),
                    difference = if (two) list(n = n_pairs, difference = gained - lost, low = d[1], high = d[2], width = if (n_pairs > 0) d[2] - d[1]))
  shift <- NULL
  separate <- NULL
  v <- plan$validation
  if (two) {
    both <- s$rearfootEarly - lost
    neither <- 1 - s$rearfootEarly - gained
    se <- v$sensitivity; sp <- v$specificity
    seen_gained <- both * (1 - se) * se + gained * sp * se + lost * (1 - se) * (1 - sp) + neither * sp * (1 - sp)
    seen_lost <- both * se * (1 - se) + gained * (1 - sp) * (1 - se) + lost * se * sp + neither * (1 - sp) * sp
    shift <- c(list(pairs = n_pairs), mcnemar_plan(n_pairs, gained, lost, alpha, plan$power),
               list(smallestShift = list(exact = smallest_shift(n_pairs, s$changed, alpha, plan$power, FALSE),
                                         midP = smallest_shift(n_pairs, s$changed, alpha, plan$power, TRUE)),
                    throughEyes = mcnemar_plan(n_pairs, seen_gained, seen_lost, alpha, plan$power)))
    separate <- list(early = n_early, late = n_late,
                     rearfoot = separate_figures(n_early, n_late, c(s$rearfootEarly, 1 - s$rearfootEarly), c(rear_late, 1 - rear_late), alpha, plan$power),
                     classes = if (!is.null(plan$classes)) separate_figures(n_early, n_late, unlist(plan$classes$early) / sum(unlist(plan$classes$early)),
                                                                            unlist(plan$classes$late) / sum(unlist(plan$classes$late)), alpha, plan$power))
  }
  list(inputs = list(source = if (is.null(finishes)) "lognormal" else "results", finishers = if (!is.null(finishes)) length(finishes),
                     median = if (is.null(finishes)) plan$median else quantile(finishes, 0.5, names = FALSE, type = 7),
                     spread = plan$spread, early = plan$early, late = if (two) plan$late, assumed = I(assumed)),
       flow = flow, candidates = candidates,
       recommended = list(shift = rule_out(best), share = rule_out(even)),
       rule = c(list(from = from), rule_out(rule)), capacity = capacity, expected = expected, bias = bias,
       precision = precision, shift = shift, separate = separate, agreement = kappa_plan(plan$agreement, plan$level),
       validation = double_sampling(s$rearfootEarly, v, early$secondsEach, n_early, plan$level))
}

if (sys.nframe() == 0) {
  args <- commandArgs(TRUE)
  if (length(args) != 3) stop("usage: Rscript planning.R PLAN.json RESULTS.csv|- OUT.json")
  finishes <- if (args[2] == "-") NULL else read_finishes(args[2])
  plan <- read_plan(args[1], !is.null(finishes))
  writeLines(json(plan_figures(plan, finishes)), args[3])
}
