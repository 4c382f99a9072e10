"""The one painter: a page of plain marks on a PDF, a printer or a picture. The only file beside the window with Qt."""
from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from PySide6.QtCore import QBuffer, QIODevice, QLibraryInfo, QMarginsF, QPluginLoader, QPointF, QSizeF, Qt
from PySide6.QtGui import (
    QColor,
    QFont,
    QFontDatabase,
    QFontMetricsF,
    QGuiApplication,
    QImage,
    QPagedPaintDevice,
    QPageLayout,
    QPageSize,
    QPainter,
    QPdfWriter,
    QPen,
)

from app.errors import WorldError
from app.paper.lettering import MM_PER_PT
from app.paper.model import Align, Circle, Line, Page, PageSize, Sheet, Stroke, Weight, Words
from app.paper.print_scaling import at_own_size

FAMILIES = ["DejaVu Sans", "Noto Sans", "Liberation Sans", "Arial", "Helvetica", "sans-serif"]
DOTS_PER_INCH = 1200
STEPS_PER_MM = 100.0  # the painter counts in hundredths, so that letters are shaped at a size in whole steps
_QT_PAGES = {"A4": QPageSize.PageSizeId.A4, "Letter": QPageSize.PageSizeId.Letter}
_still_alive: list[QGuiApplication] = []


def ready_without_window() -> None:
    """Start as much of Qt as letters need, on a machine without a screen too; WorldError says what is missing."""
    if QGuiApplication.instance() is None:
        # Asked beforehand because Qt ends the whole program when this one cannot be loaded.
        plugins = Path(QLibraryInfo.path(QLibraryInfo.LibraryPath.PluginsPath)) / "platforms"
        for file in plugins.glob("*qoffscreen.*"):
            loader = QPluginLoader(str(file))
            if not loader.load():
                raise WorldError(f"Sheets are drawn by Qt, which cannot start here: {loader.errorString()}.")
        _still_alive.append(QGuiApplication(["whistlewright", "-platform", "offscreen"]))
    if not QFontDatabase.families():
        raise WorldError("This system has no typeface to write a sheet with: install one, fonts-dejavu-core will do.")


def pdf_of(sheet: Sheet) -> bytes:
    """The sheet as a PDF file: vectors, true size, typefaces inside."""
    buffer = QBuffer()
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    writer = QPdfWriter(buffer)
    writer.setResolution(DOTS_PER_INCH)
    writer.setPdfVersion(QPdfWriter.PdfVersion.PdfVersion_1_6)  # the first that knows of print scaling
    writer.setColorModel(QPdfWriter.ColorModel.Grayscale)
    writer.setTitle(sheet.title)
    writer.setCreator("Whistlewright")
    paint_on(writer, sheet.pages)
    del writer  # the file's end is written when it goes
    return at_own_size(bytes(buffer.data().data()))


def paint_on(device: QPagedPaintDevice, pages: Sequence[Page]) -> None:
    """All pages on a PDF or a printer, at true size whatever it thinks of margins; WorldError when it gives up."""
    device.setPageLayout(page_layout(pages[0].size))
    painter = QPainter()
    if not painter.begin(device):
        raise WorldError("The sheet could not be begun: is the printer switched on and its paper in?")
    try:
        for number, page in enumerate(pages):
            if number and not device.newPage():
                raise WorldError(f"The printer stopped before page {number + 1}: is its paper out?")
            painter.save()
            painter.scale(device.logicalDpiX() / 25.4, device.logicalDpiY() / 25.4)
            paint(painter, page)
            painter.restore()
    finally:
        painter.end()


def picture_of(page: Page, dots_per_mm: float) -> QImage:
    """The page as it will lie on the table, white all over where nothing is printed."""
    image = QImage(round(page.size.width_mm * dots_per_mm), round(page.size.height_mm * dots_per_mm),
                   QImage.Format.Format_RGB32)
    image.fill(Qt.GlobalColor.white)
    painter = QPainter(image)
    painter.setRenderHints(QPainter.RenderHint.Antialiasing | QPainter.RenderHint.TextAntialiasing)
    painter.scale(dots_per_mm, dots_per_mm)
    paint(painter, page)
    painter.end()
    return image


def paint(painter: QPainter, page: Page) -> None:
    """Every mark, by a painter that counts in mm from the page's upper left corner."""
    painter.scale(1.0 / STEPS_PER_MM, 1.0 / STEPS_PER_MM)
    for mark in page.marks:
        if isinstance(mark, Line):
            painter.setPen(_pen(mark.weight, mark.stroke))
            painter.drawLine(_point(mark.x1_mm, mark.y1_mm), _point(mark.x2_mm, mark.y2_mm))
        elif isinstance(mark, Circle):
            painter.setPen(Qt.PenStyle.NoPen if mark.filled else _pen(mark.weight, mark.stroke))
            painter.setBrush(QColor(Qt.GlobalColor.black) if mark.filled else Qt.BrushStyle.NoBrush)
            radius = mark.radius_mm * STEPS_PER_MM
            painter.drawEllipse(_point(mark.x_mm, mark.y_mm), radius, radius)
        else:
            _write(painter, mark)


def _write(painter: QPainter, words: Words) -> None:
    """On one line, drawn narrower where this typeface needs more than the room."""
    font = _font(words)
    needed = QFontMetricsF(font).horizontalAdvance(words.words)
    room = words.room_mm * STEPS_PER_MM
    narrowed = min(1.0, room / needed) if needed > 0.0 else 1.0
    before = {Align.LEFT: 0.0, Align.MIDDLE: 0.5, Align.RIGHT: 1.0}[words.align] * needed
    painter.save()
    painter.translate(_point(words.x_mm, words.y_mm))
    if words.upward:
        painter.rotate(-90.0)
    painter.scale(narrowed, 1.0)
    painter.setFont(font)
    painter.setPen(QColor(Qt.GlobalColor.black))
    painter.drawText(QPointF(-before, 0.0), words.words)
    painter.restore()


def needed_mm(words: Words) -> float:
    """The width that the typeface found here would take."""
    return QFontMetricsF(_font(words)).horizontalAdvance(words.words) / STEPS_PER_MM


def _font(words: Words) -> QFont:
    font = QFont()
    font.setFamilies(FAMILIES)
    font.setStyleHint(QFont.StyleHint.SansSerif)
    font.setPixelSize(max(1, round(words.size_pt * MM_PER_PT * STEPS_PER_MM)))
    font.setBold(words.bold)
    font.setHintingPreference(QFont.HintingPreference.PreferNoHinting)
    return font


def _pen(weight: Weight, stroke: Stroke) -> QPen:
    pen = QPen(QColor(Qt.GlobalColor.black), weight.value * STEPS_PER_MM)
    pen.setCapStyle(Qt.PenCapStyle.FlatCap)
    if stroke.value:
        pen.setDashPattern([length_mm / weight.value for length_mm in stroke.value])
    return pen


def _point(x_mm: float, y_mm: float) -> QPointF:
    return QPointF(x_mm * STEPS_PER_MM, y_mm * STEPS_PER_MM)


def page_layout(size: PageSize) -> QPageLayout:
    """The whole page of this size, upright, without margins."""
    known = _QT_PAGES.get(size.name)
    paper = QPageSize(known) if known is not None else QPageSize(
        QSizeF(size.width_mm, size.height_mm), QPageSize.Unit.Millimeter, size.name
    )
    layout = QPageLayout(paper, QPageLayout.Orientation.Portrait, QMarginsF(0.0, 0.0, 0.0, 0.0))
    layout.setMode(QPageLayout.Mode.FullPageMode)
    return layout
