# Opens the layers of a folder in QGIS, says of each by how many rules its features are drawn, and draws them all into a picture.
import os
import sys

from qgis.core import (QgsApplication, QgsExpressionContext, QgsExpressionContextUtils, QgsMapRendererSequentialJob, QgsMapSettings,
                       QgsRenderContext, QgsVectorLayer)
from qgis.PyQt.QtCore import QSize

app = QgsApplication([], False)
app.initQgis()
folder, picture = sys.argv[1:3]


def drawn(layer):
    """How many features are drawn by exactly one rule, and how many otherwise."""
    context = QgsRenderContext()
    context.setExpressionContext(QgsExpressionContext(QgsExpressionContextUtils.globalProjectLayerScopes(layer)))
    renderer = layer.renderer().clone()
    renderer.startRender(context, layer.fields())
    once = otherwise = 0
    for feature in layer.getFeatures():
        context.expressionContext().setFeature(feature)
        if len(renderer.symbolsForFeature(feature, context)) == 1:
            once += 1
        else:
            otherwise += 1
    renderer.stopRender(context)
    return once, otherwise


def aliased(layer):
    """Whether the columns have headings of their own."""
    fields = layer.fields()
    return all(layer.attributeAlias(i) for i in range(fields.count()) if fields.at(i).name() != 'fid')


layers = []
for name in ('zones', 'spans', 'structures', 'exceptions_along_lines', 'exceptions_at_structures'):
    layer = QgsVectorLayer(f'{folder}/audit.gpkg|layername={name}', name, 'ogr')
    assert layer.isValid(), name
    once, otherwise = drawn(layer)
    kind = type(layer.renderer()).__name__.removeprefix('Qgs').replace('RuleBasedRenderer', 'RuleRenderer')
    print(f'{name} {kind} drawn once: {once}, otherwise: {otherwise}, alias {aliased(layer)}')
    layers.insert(0, layer)
for style, data in (('structures.qml', 'structures.geojson'), ('exceptions.qml', 'exceptions.geojson|geometrytype=Point'),
                    ('exceptions-along-lines.qml', 'exceptions.geojson|geometrytype=LineString')):
    layer = QgsVectorLayer(f'{folder}/{data}', style, 'ogr')
    assert layer.isValid(), data
    message, read = layer.loadNamedStyle(f'{folder}/{style}')
    once, otherwise = drawn(layer)
    print(f'{style} read {read}, otherwise: {otherwise}, alias {aliased(layer)}')

settings = QgsMapSettings()
settings.setLayers(layers)
settings.setOutputSize(QSize(1200, 900))
extent = layers[2].extent()
extent.scale(float(os.environ.get('DRYARC_QGIS_SCALE', '1.1')))
settings.setExtent(extent)
job = QgsMapRendererSequentialJob(settings)
job.start()
job.waitForFinished()
assert job.renderedImage().save(picture)
