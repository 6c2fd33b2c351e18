// How far a reader is for the papers of a level: each cell of a blueprint by what was answered in it, what is critical
// apart, and a forecast with its range. Pure, so that it can be tested; it reads the record and writes nothing.
(function () {
  "use strict";
  var WY = (globalThis.WY = globalThis.WY || {});
  // 97.5 % of a normal distribution lie below this: a range of 95 %.
  var Z = 1.959963984540054;
  // Below so many problems tried of a paper nothing is forecast.
  var FEWEST = 10;
  // The rating of an answer that was right at once, without a hint: as a paper would count it.
  var AT_ONCE = 3;

  // The range of a share of right ones after Wilson (1927), without correction; null of none.
  function wilson(right, n) {
    if (!n) {
      return null;
    }
    var share = right / n;
    var spread = (Z * Z) / n;
    var middle = (share + spread / 2) / (1 + spread);
    var half = (Z * Math.sqrt((share * (1 - share)) / n + spread / (4 * n))) / (1 + spread);
    return { low: right === 0 ? 0 : middle - half, high: right === n ? 1 : middle + half };
  }

  // The last answer to each item of a record, by the item.
  function lasts(record) {
    var found = new Map();
    record.answers.forEach(function (answer) {
      var known = found.get(answer.item);
      if (!known || answer.at >= known.at) {
        found.set(answer.item, answer);
      }
    });
    return found;
  }

  function wasRight(answer) {
    return WY.recall.rating(answer) === AT_ONCE;
  }

  // One cell: {cell, items: how many there are to practise, tried, right at once last time, range}.
  function cellOf(plan, known, paper, cell) {
    var items = plan.items.filter(function (item) {
      return WY.recall.isFor(item, paper) && WY.recall.fits(item, cell);
    });
    var tried = items.filter(function (item) {
      return known.has(item.id);
    });
    var right = tried.filter(function (item) {
      return wasRight(known.get(item.id));
    }).length;
    return { cell: cell, items: items.length, tried: tried.length, right: right, range: wilson(right, tried.length) };
  }

  // What is critical in the papers of a level, by skill: {skill, state: "new", "missed" or "right"}, worst first. A skill
  // is right where each of its critical items that was tried was right at once last time.
  function critical(plan, record, level) {
    var known = lasts(record);
    var needed = WY.recall.needed(plan, level);
    var order = ["missed", "new", "right"];
    return Object.keys(needed)
      .filter(function (skill) {
        return needed[skill].critical;
      })
      .map(function (skill) {
        return { skill: skill, state: stateOf(plan, known, skill) };
      })
      .sort(function (one, other) {
        return order.indexOf(one.state) - order.indexOf(other.state) || (one.skill < other.skill ? -1 : 1);
      });
  }

  function stateOf(plan, known, skill) {
    var tried = plan.items.filter(function (item) {
      return item.skill === skill && item.critical && known.has(item.id);
    });
    var right = tried.every(function (item) {
      return wasRight(known.get(item.id));
    });
    return !tried.length ? "new" : right ? "right" : "missed";
  }

  // The share of a paper that would be right today, with the range in which nine of ten such papers would lie. In each
  // cell the share is as if one more problem had been right and one wrong (Laplace's rule), so that little says little;
  // its spread is that of a beta-binomial. Null where too little was tried.
  function forecast(cells) {
    var tried = sum(cells, function (one) { return one.tried; });
    var count = sum(cells, function (one) { return one.cell.count; });
    if (tried < FEWEST || !count) {
      return null;
    }
    var middle = sum(cells, function (one) { return one.cell.count * shareOf(one); }) / count;
    var spread = Math.sqrt(sum(cells, varianceOf)) / count;
    var half = 1.6448536269514722 * spread;
    return { share: middle, low: Math.max(0, middle - half), high: Math.min(1, middle + half) };
  }

  function shareOf(one) {
    return (one.right + 1) / (one.tried + 2);
  }

  function varianceOf(one) {
    var all = one.tried + 2;
    var share = shareOf(one);
    return (one.cell.count * share * (1 - share) * (all + one.cell.count)) / (all + 1);
  }

  function sum(list, value) {
    return list.reduce(function (so, one) {
      return so + value(one);
    }, 0);
  }

  // A paper: {paper, cells, tried, forecast}; what was tried least and was right least stands first.
  function ofPaper(plan, record, paper) {
    var known = lasts(record);
    var cells = paper.cells.map(function (cell) {
      return cellOf(plan, known, paper, cell);
    });
    return { paper: paper, cells: cells.slice().sort(worstFirst), tried: sum(cells, tried), forecast: forecast(cells) };
  }

  // What to do next, at most so many: critical skills that are open, the missed ones first; then the sorts of the papers
  // that stand weakest and can be practised.
  function next(papers, criticals, most) {
    var open = criticals.filter(function (one) {
      return one.state !== "right";
    });
    var cells = papers.flatMap(function (paper) {
      return paper.cells;
    });
    var weakest = cells.filter(function (one) {
      return one.items > 0 && one.right < one.items;
    });
    return open.concat(weakest.sort(worstFirst)).slice(0, most);
  }

  function tried(one) {
    return one.tried;
  }

  function worstFirst(one, other) {
    return shareOf(one) - shareOf(other) || one.tried - other.tried || other.cell.count - one.cell.count;
  }

  // How a forecast stands to what is needed: "below", "above" or "either" way.
  function verdict(found, cut) {
    return found.high * 100 < cut ? "below" : found.low * 100 >= cut ? "above" : "either";
  }

  WY.readiness = { wilson: wilson, ofPaper: ofPaper, critical: critical, next: next, verdict: verdict, FEWEST: FEWEST };
})();
