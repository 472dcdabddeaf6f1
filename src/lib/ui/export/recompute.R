#!/usr/bin/env Rscript
# Computes the main figures of findings.json again from sightings.csv and results.csv, in plain R without packages, and prints
# each beside the one in the file with the difference between them.
#
#   Rscript recompute.R [FOLDER]          the folder with the exported tables; by default the current one
#
# Exit status 1 when a figure differs by more than a millionth of itself.

args <- commandArgs(trailingOnly = TRUE)
folder <- if (length(args)) args[1] else "."
invisible(Sys.setlocale("LC_COLLATE", "C"))
CLASSES <- c("rearfoot", "midfoot", "forefoot", "asymmetric")
FEET <- CLASSES[1:3]

# --- JSON: enough of it for a file of findings -----------------------------------------------------------------------

read_json <- function(path) {
  text <- paste(readLines(path, warn = FALSE, encoding = "UTF-8"), collapse = "\n")
  tokens <- regmatches(text, gregexpr("\"(?:[^\"\\\\]|\\\\.)*\"|-?[0-9][0-9.eE+-]*|true|false|null|[][{},:]", text, perl = TRUE))[[1]]
  at <- 0
  following <- function() { at <<- at + 1; tokens[at] }
  plain <- function(token) gsub("\\\\(.)", "\\1", substr(token, 2, nchar(token) - 1))
  value <- function() {
    token <- following()
    if (token == "{") {
      found <- list()
      if (tokens[at + 1] == "}") { following(); return(found) }
      repeat {
        name <- plain(following()); following()
        found[name] <- list(value())
        if (following() == "}") return(found)
      }
    }
    if (token == "[") {
      found <- list()
      if (tokens[at + 1] == "]") { following(); return(found) }
      repeat {
        found[length(found) + 1] <- list(value())
        if (following() == "]") return(found)
      }
    }
    if (startsWith(token, "\"")) return(plain(token))
    switch(token, true = TRUE, false = FALSE, null = NULL, as.numeric(token))
  }
  value()
}

# --- the tables ------------------------------------------------------------------------------------------------------

# Everything is text; an apostrophe in front keeps a spreadsheet from taking a text for a formula and comes off again.
read_table <- function(name) {
  path <- file.path(folder, name)
  if (!file.exists(path)) return(NULL)
  d <- read.csv(path, colClasses = "character", na.strings = character(), check.names = FALSE, encoding = "UTF-8")
  d[] <- lapply(d, function(column) trimws(sub("^'", "", column)))
  d
}

findings <- read_json(file.path(folder, "findings.json"))
about <- findings$about
level <- about$level
s <- read_table("sightings.csv")
results <- read_table("results.csv")
places <- unique(s[c("checkpoint", "km")])
if (!is.null(s$passed)) s <- s[s$passed != "true", ]
s <- s[s$bib != "", ]
if (is.null(s$gait)) s$gait <- rep("run", nrow(s))

# --- from sightings to classes ---------------------------------------------------------------------------------------

# Of one observer's entries for a runner at a place by one method the latest; rulings count as of one observer.
s$rater <- ifelse(s$method == "ruling", "ruling", paste(s$method, s$observer))
s <- s[order(s$observed_at, s$record_id), ]
s <- s[!duplicated(s[c("rater", "checkpoint", "bib")], fromLast = TRUE), ]
s$key <- paste(s$checkpoint, s$bib, sep = "\r")

# A ruling alone, else clips that saw something, else what was seen live.
saw <- s$left != "unseen" | s$right != "unseen" | s$gait == "walk"
ruled <- s$key %in% s$key[s$method == "ruling"]
clipped <- s$key %in% s$key[s$method == "clip" & saw] | !(s$key %in% s$key[s$method == "live"])
deciding <- ifelse(ruled, "ruling", ifelse(clipped, "clip", "live"))
s <- s[s$method == deciding, ]

keys <- unique(s$key)
group <- factor(s$key, keys)
walk <- as.vector(tapply(s$gait == "walk", group, sum))
run <- as.vector(tapply(s$gait != "walk", group, sum))
foot <- function(side) {
  votes <- unclass(table(group[s$gait != "walk"], factor(s[[side]][s$gait != "walk"], FEET)))
  most <- apply(votes, 1, max)
  ties <- rowSums(votes == most)
  ifelse(most == 0, "unseen", ifelse(ties > 1, "disputed", FEET[max.col(votes, "first")]))
}
left <- foot("left")
right <- foot("right")
class <- ifelse(left == "disputed" | right == "disputed", "disputed",
         ifelse(left != "unseen" & right != "unseen", ifelse(left == right, left, "asymmetric"),
         ifelse(about$singleFoot == "use" & left != right, ifelse(left == "unseen", right, left), "unclassified")))
class[walk == run] <- "disputed"
class[walk > run] <- "walking"
runners <- data.frame(checkpoint = sub("\r.*$", "", keys), bib = sub("^[^\r]*\r", "", keys), class = class)
classified <- runners[runners$class %in% CLASSES, ]

# --- printing --------------------------------------------------------------------------------------------------------

rows <- list()
number <- function(x) if (is.null(x) || is.na(x)) "none" else format(x, digits = 10)
compare <- function(name, here, there) {
  if (is.null(here) || length(here) == 0 || !is.finite(here)) here <- NULL
  apart <- if (is.null(here) || is.null(there)) NA else abs(here - there)
  both_none <- is.null(here) && is.null(there)
  bad <- !both_none && (is.na(apart) || apart > 1e-6 * max(abs(there), 1e-6))
  rows[[length(rows) + 1]] <<- data.frame(figure = name, here = number(here), file = number(there),
    difference = if (both_none) "" else if (is.na(apart)) "?" else format(apart, digits = 2), bad = bad)
}
quiet <- function(test) tryCatch(suppressWarnings(test), error = function(e) NULL)
wilson <- function(x, n) if (n == 0) c(NA, NA) else suppressWarnings(prop.test(x, n, conf.level = level, correct = FALSE))$conf.int

# --- shares ----------------------------------------------------------------------------------------------------------

for (one in findings$shares) {
  there <- classified$class[classified$checkpoint == one$checkpoint]
  n <- length(there)
  compare(paste0("classified at ", one$checkpoint), n, one$classified)
  for (name in CLASSES) {
    x <- sum(there == name)
    ci <- wilson(x, n)
    said <- one$classes[[name]]
    where <- paste0(name, " at ", one$checkpoint)
    compare(paste0(where, ", runners"), x, said$count)
    compare(paste0(where, ", share"), x / n, said$share)
    compare(paste0(where, ", low"), ci[1], said$low)
    compare(paste0(where, ", high"), ci[2], said$high)
  }
}

# --- shift -----------------------------------------------------------------------------------------------------------

shift <- findings$shift
if (!is.null(shift)) {
  early <- classified[classified$checkpoint == shift$early, ]
  late <- classified[classified$checkpoint == shift$late, ]
  at <- match(early$bib, late$bib)
  pair <- cbind(early$class, late$class[at])[!is.na(at), , drop = FALSE] == "rearfoot"
  n <- nrow(pair)
  both <- sum(pair[, 1] & pair[, 2]); lost <- sum(pair[, 1] & !pair[, 2])
  gained <- sum(!pair[, 1] & pair[, 2]); neither <- n - both - lost - gained
  compare("runners at both", n, shift$paired)
  compare("onto the rearfoot", gained, shift$rearfoot$gained)
  compare("off the rearfoot", lost, shift$rearfoot$lost)
  if (n > 0) {
    p <- c((both + lost) / n, (both + gained) / n)
    l <- wilson(both + lost, n); u <- wilson(both + gained, n)
    # Newcombe (1998), Statistics in Medicine 17, 2635-2650, method 10.
    product <- (both + lost) * (gained + neither) * (both + gained) * (lost + neither)
    excess <- both * neither - gained * lost
    phi <- if (product == 0) 0 else (if (excess > 0) max(excess - n / 2, 0) else excess) / sqrt(product)
    root <- function(x, y) sqrt(max(x^2 - 2 * phi * x * y + y^2, 0))
    compare("paired difference", p[2] - p[1], shift$rearfoot$difference)
    compare("paired difference, low", p[2] - p[1] - root(p[2] - u[1], l[2] - p[1]), shift$rearfoot$low)
    compare("paired difference, high", p[2] - p[1] + root(u[2] - p[2], p[1] - l[1]), shift$rearfoot$high)
  }
  if (gained + lost > 0) {
    test <- mcnemar.test(matrix(c(1, lost, gained, 1), 2), correct = FALSE)
    compare("McNemar, statistic", unname(test$statistic), shift$rearfoot$mcnemar$statistic)
    compare("McNemar, p", test$p.value, shift$rearfoot$mcnemar$p)
    compare("McNemar, exact p", binom.test(gained, gained + lost)$p.value, shift$rearfoot$mcnemar$exactP)
  }
  two <- rbind(table(factor(early$class, CLASSES)), table(factor(late$class, CLASSES)))
  test <- quiet(chisq.test(two[, colSums(two) > 0], correct = FALSE))
  if (!is.null(test) && is.finite(test$statistic)) {
    compare("separate samples, chi-square", unname(test$statistic), shift$independent$statistic)
    compare("separate samples, p", test$p.value, shift$independent$p)
  }
}

# --- finish times ----------------------------------------------------------------------------------------------------

finish <- findings$finish
if (!is.null(finish) && !is.null(results)) {
  there <- classified[classified$checkpoint == finish$by, ]
  time <- as.numeric(results$finish[match(there$bib, results$bib)])
  has <- !is.na(time)
  time <- time[has]; of <- there$class[has]
  compare("finishers with a class", length(time), finish$matched)
  for (name in CLASSES) {
    said <- finish$groups[[name]]
    own <- time[of == name]
    compare(paste0(name, ", finishers"), length(own), said$n)
    # Times of a few runners are withheld in an export with codes.
    if (is.null(said$median)) next
    q <- quantile(own, c(0.25, 0.5, 0.75), names = FALSE, type = 7)
    compare(paste0(name, ", median"), q[2], said$median)
    compare(paste0(name, ", lower quartile"), q[1], said$q1)
    compare(paste0(name, ", upper quartile"), q[3], said$q3)
    compare(paste0(name, ", mean"), mean(own), said$mean)
  }
  if (length(unique(of)) > 1 && length(unique(time)) > 1) {
    test <- kruskal.test(time, factor(of))
    compare("Kruskal-Wallis, H", unname(test$statistic), finish$kruskalWallis$statistic)
    compare("Kruskal-Wallis, p", test$p.value, finish$kruskalWallis$p)
  }
}

out <- do.call(rbind, rows)
cat(sprintf("%s, %s; level %s, one seen foot: %s%s\n\n", about$race$name, about$race$date, format(level), about$singleFoot,
            if (isTRUE(about$coded)) paste0("; codes for bibs, ", about$coarsened) else ""))
width <- max(nchar(out$figure))
for (i in seq_len(nrow(out))) {
  cat(sprintf("%-*s  %16s  %16s  %10s%s\n", width, out$figure[i], out$here[i], out$file[i], out$difference[i], if (out$bad[i]) "  <- differs" else ""))
}
cat(sprintf("\n%d figures computed again, %d differ.\n", nrow(out), sum(out$bad)))
quit(status = if (any(out$bad)) 1 else 0)
